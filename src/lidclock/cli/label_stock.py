"""`label stock`: what there is, one of them drawn, and a user's own."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.lazy import FallbackGroup
from lidclock.cli.options import echo_json, echo_lines, json_option
from lidclock.cli.show import columns

if TYPE_CHECKING:
    from lidclock.app.session import Session
    from lidclock.app.stock import Listed
    from lidclock.app.values import Stock

_HERE = "lidclock.cli.label_stock"
COMMANDS = {
    "add": f"{_HERE}:add",
    "use": f"{_HERE}:use",
    "remove": f"{_HERE}:remove",
}
_MM_PER_INCH = 25.4
_PAIR = re.compile(
    r"([0-9]+(?:[.,][0-9]+)?)\s*[x×]\s*([0-9]+(?:[.,][0-9]+)?)\s*(mm|in)?", re.I
)


class Pair(click.ParamType[tuple[float, float]]):
    """Two lengths such as 64.6x33.8 or 8.5x11in, read into millimetres."""

    name = "pair"

    def convert(self, value: Any, param: Any, ctx: Any) -> tuple[float, float]:
        """Millimetres; a usage error says how to write it."""
        if isinstance(value, tuple):
            return value
        match = _PAIR.fullmatch(str(value).strip())
        if match is None:
            self.fail(
                f"{value!r} is no pair of lengths; write it like 64.6x33.8 (mm) or "
                "2.625x1in",
                param,
                ctx,
            )
        unit = _MM_PER_INCH if (match[3] or "").lower() == "in" else 1.0
        wide, tall = (float(one.replace(",", ".")) * unit for one in match.groups()[:2])
        return round(wide, 4), round(tall, 4)


PAIR = Pair()


@click.group(cls=FallbackGroup, lazy=COMMANDS, fallback=f"{_HERE}:show")
def stock() -> None:
    """Sizes of label stock: sheets and rolls, yours among them."""


@click.command()
@click.argument("name", metavar="[NAME]", required=False)
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE",
    help="Draw NAME with its lengths: FILE.pdf or FILE.png.",
)
@json_option
@pass_desk
def show(desk: Desk, name: str | None, out: Path | None, as_json: bool) -> None:
    """List the label stock there is; or show the nine numbers of NAME, and draw it.

    The list names layout, number of labels to a page, and what is the kitchen's.

    \b
    Example:
      lidclock label stock
      lidclock label stock letter-3x10 --out letter-3x10.png
    """
    from lidclock.app import stock as app

    if name is None:
        if out is not None:
            raise click.UsageError("--out goes with a NAME")
        with _kitchen(desk) as session:
            _list(app.all_stock(session), as_json=as_json)
        return
    found = app.find_stock(name)
    if as_json:
        echo_json(app.numbers_of(found))
    else:
        echo_lines([*_numbers(found), *app.drawn_in_characters(found)])
    if out is not None:
        app.draw_stock(found, out)
        click.echo(f"drawing: {out}")


@contextmanager
def _kitchen(desk: Desk) -> Iterator[Session | None]:
    """The kitchen, where there is one yet: stock is chosen before it is set up."""
    if not desk.path.exists():
        yield None
        return
    with desk.session() as session:
        yield session


def _list(listed: list[Listed], *, as_json: bool) -> None:
    from lidclock.app.stock import numbers_of

    if as_json:
        echo_json(
            [
                {
                    "name": one.name,
                    "own": one.is_own,
                    "kitchens": one.is_kitchens,
                    "printers": list(one.printers),
                    "problem": one.problem or None,
                    **(numbers_of(one.stock) if one.stock else {}),
                }
                for one in listed
            ]
        )
        return
    echo_lines(columns([_row(one) for one in listed]))


def _row(one: Listed) -> list[str]:
    marks = [
        "the kitchen's" if one.is_kitchens else "",
        f"in {', '.join(one.printers)}" if one.printers else "",
        "your own" if one.is_own else "",
    ]
    told = ", ".join(mark for mark in marks if mark)
    if one.stock is None:
        words = f"cannot be used: {one.problem}"
        return [one.name, "", "", "", "", f"{told}, {words}" if told else words]
    count = str(one.stock.across * one.stock.down)
    return [one.name, one.stock.title, one.stock.kind, count, one.stock.layout, told]


def _numbers(found: Stock) -> list[str]:
    return [
        f"{found.name}: {found.title}",
        f"page {found.page_width_mm:g} x {found.page_height_mm:g} mm, "
        f"{found.across} across, {found.down} down",
        f"labels {found.label_width_mm:g} x {found.label_height_mm:g} mm"
        f"{', round' if found.shape == 'round' else ''}, the first at "
        f"{found.left_mm:g}, {found.top_mm:g} mm",
        f"every {found.pitch_x_mm:g} mm across, every {found.pitch_y_mm:g} mm down",
        f"layout {found.layout}, printed at {found.dpi} dpi",
    ]


@click.command()
@click.argument("name")
@click.option("--page", type=PAIR, metavar="WxH", help="The sheet. [roll: the label]")
@click.option("--label", type=PAIR, metavar="WxH", required=True, help="One label.")
@click.option("--across", type=click.IntRange(1), default=1, show_default=True)
@click.option("--down", type=click.IntRange(1), default=1, show_default=True)
@click.option(
    "--first", type=PAIR, metavar="XxY", help="Left and top of the first. [0x0]"
)
@click.option(
    "--pitch", type=PAIR, metavar="XxY", help="From one label to the next. [touching]"
)
@click.option("--roll", is_flag=True, help="A roll: one label to a page.")
@click.option("--round", "is_round", is_flag=True, help="Round labels.")
@click.option(
    "--dpi",
    type=int,
    metavar="N",
    help="The printer's dots to an inch. [300; roll: 203]",
)
@click.option(
    "--layout",
    default="auto",
    show_default=True,
    metavar="NAME",
    help="How labels are arranged; auto: what suits their size.",
)
@click.option("--title", default="", help="What to call it in lists.")
def add(name: str, **options: Any) -> None:
    """Add a stock of your own by its nine numbers, in millimetres or with `in`.

    A sheet: its size, labels across and down, the size of one, where the first begins,
    and how far it is from one to the next. A roll: the size of one label. It is kept
    only if an everyday label fits on it.

    \b
    Example:
      lidclock label stock add mine-3x8 --page 210x297 --across 3 --down 8 \\
        --label 64.6x33.8 --first 8.1x13.3 --pitch 66x33.8
      lidclock label stock add my-roll --roll --label 2x1in
    """
    from lidclock.app import stock as app

    label = options["label"]
    is_roll = options["roll"]
    if is_roll and (options["across"] > 1 or options["down"] > 1):
        raise click.UsageError("a roll has one label to a page: drop --across, --down")
    page = options["page"] or (label if is_roll else None)
    if page is None:
        raise click.UsageError("Missing option '--page', or '--roll' for a roll.")
    first, pitch = options["first"] or (0.0, 0.0), options["pitch"] or label
    numbers = {
        **dict(zip(("page_width_mm", "page_height_mm"), page, strict=True)),
        **dict(zip(("label_width_mm", "label_height_mm"), label, strict=True)),
        **dict(zip(("left_mm", "top_mm"), first, strict=True)),
        **dict(zip(("pitch_x_mm", "pitch_y_mm"), pitch, strict=True)),
        **{"across": options["across"], "down": options["down"]},
    }
    made = app.stock_of(
        name,
        options["title"],
        numbers,
        dpi=options["dpi"] or (203 if is_roll else 300),
        kind="roll" if is_roll else "sheet",
        shape="round" if options["is_round"] else "rectangle",
        layout="" if options["layout"] == "auto" else options["layout"],
    )
    path = app.add_stock(made)
    echo_lines([*_numbers(made), *app.drawn_in_characters(made), f"added: {path}"])
    click.echo(f"check it: `lidclock label calibrate --stock {name} --out FILE.pdf`")


@click.command()
@click.argument("name")
@pass_desk
def use(desk: Desk, name: str) -> None:
    """Make NAME the kitchen's stock: labels go onto it unless another one is named.

    \b
    Example:
      lidclock label stock use mine-3x8
    """
    from lidclock.app import stock as app

    with desk.session() as session:
        found = app.use_stock(session, name)
    click.echo(f"the kitchen's stock: {found.name} ({found.title})")


@click.command()
@click.argument("name")
@pass_desk
def remove(desk: Desk, name: str) -> None:
    """Forget a stock of your own.

    \b
    Example:
      lidclock label stock remove mine-3x8
    """
    from lidclock.app import stock as app

    with _kitchen(desk) as session:
        app.remove_stock(name, session)
    click.echo(f"removed: {name}")
