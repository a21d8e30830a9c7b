"""Label stock: what there is, and a user's own, added by its nine numbers."""

from __future__ import annotations

import io
import re
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from pathlib import Path

from lidclock.app.files import write_whole
from lidclock.errors import InputError, LabelError, RefusedError, UnknownStockError
from lidclock.labels import data
from lidclock.labels.content import Label
from lidclock.labels.stock import Stock, layout_for, list_stock, load_stock

_NAME = re.compile(r"[a-z0-9][a-z0-9-]{0,39}")
SCREEN_DPI = 150
_NUMBERS = (
    *("page_width_mm", "page_height_mm", "across", "down"),
    *("label_width_mm", "label_height_mm", "left_mm", "top_mm"),
    *("pitch_x_mm", "pitch_y_mm"),
)


@dataclass(frozen=True, slots=True)
class Listed:
    """One stock by name: its numbers, or why its file cannot be used."""

    name: str
    stock: Stock | None
    problem: str = ""
    is_own: bool = False


def all_stock() -> list[Listed]:
    """Every stock there is, a broken file of the user's among them."""
    own = data.own_names("stock")
    return [_listed(name, is_own=name in own) for name in list_stock()]


def _listed(name: str, *, is_own: bool) -> Listed:
    try:
        return Listed(name, load_stock(name), is_own=is_own)
    except LabelError as error:
        return Listed(name, None, str(error), is_own)


def add_stock(stock: Stock) -> Path:
    """Keep a stock in the user's folder; the file it stands in.

    An everyday label has to fit on it. RefusedError if the name is taken.
    """
    from lidclock.labels import arrange_all

    if _NAME.fullmatch(stock.name) is None:
        raise InputError(
            f"{stock.name!r} cannot be a stock's name: small letters, figures and "
            "hyphens, 40 at most"
        )
    if stock.name in list_stock():
        raise RefusedError(
            f"there is a stock {stock.name} already: choose another name"
            + ("" if stock.name not in data.own_names("stock") else ", or remove it")
        )
    arrange_all([EVERYDAY], stock)
    path = _file(stock.name)
    path.parent.mkdir(parents=True, exist_ok=True)
    write_whole(path, [_written(stock).encode()])
    return path


def remove_stock(name: str) -> None:
    """Forget a stock of the user's own; the shipped ones stay."""
    if name not in data.own_names("stock"):
        if name in list_stock():
            raise RefusedError(f"stock {name} came with lidclock and stays")
        raise UnknownStockError(f"no stock {name!r} of your own; see `label stock`")
    _file(name).unlink()


def find_stock(name: str) -> Stock:
    """The stock of that name; the error names those there are."""
    return load_stock(name)


def numbers_of(stock: Stock) -> dict[str, object]:
    """A stock as JSON-ready data."""
    return asdict(stock)


def drawn_in_characters(stock: Stock) -> list[str]:
    """Its page for a terminal."""
    from lidclock.labels.plan import in_characters

    return list(in_characters(stock))


def draw_stock(stock: Stock, path: Path) -> None:
    """Its page with all lengths, as a PDF, or as a PNG if the file is called so."""
    from lidclock.labels.plan import draw_plan

    write_picture(draw_plan(stock), path)


def write_picture(pdf: bytes, path: Path, dpi: int = SCREEN_DPI) -> None:
    """A page as it is, or as dots where the file's name ends in .png."""
    if path.suffix.lower() != ".png":
        write_whole(path, [pdf])
        return
    from lidclock.labels.preview import picture

    out = io.BytesIO()
    picture(pdf, dpi).save(out, "PNG", optimize=True)
    write_whole(path, [out.getvalue()])


def stock_of(
    name: str, title: str, numbers: Mapping[str, float], *, dpi: int, kind: str,
    shape: str, layout: str = "",
) -> Stock:  # fmt: skip
    """A stock from its numbers; without a layout, the one that suits its size."""
    wide, tall = numbers["label_width_mm"], numbers["label_height_mm"]
    lengths = {key: float(numbers[key]) for key in _NUMBERS if key.endswith("_mm")}
    return Stock(
        name=name,
        title=title or f"{kind} of {wide:g} x {tall:g} mm labels",
        kind=kind,
        layout=layout or layout_for(wide, tall, shape),
        dpi=dpi,
        shape=shape,
        across=int(numbers["across"]),
        down=int(numbers["down"]),
        **lengths,
    )


def _file(name: str) -> Path:
    return data.own_folder() / "stock" / f"{name}.toml"


def _written(stock: Stock) -> str:
    """The data file; JSON strings are TOML strings as well."""
    import json

    words = [
        f"{key} = {json.dumps(getattr(stock, key), ensure_ascii=False)}"
        for key in ("name", "title", "kind", "shape", "layout")
    ]
    numbers = [f"{key} = {getattr(stock, key)!r}" for key in ("dpi", *_NUMBERS)]
    head = "# Added with `lidclock label stock add`. All lengths in millimetres."
    return "\n".join([head, *words, *numbers, ""])


EVERYDAY = Label(
    name="bean stew",
    code="WWWWWWW",
    uri="HTTP://LIDCLOCK.LOCAL/C/WWWWWWW",
    headline_word="USE BY",
    headline="Wed 30 Sep 2026",
    lines=("made Sat 26 Sep 17:10 · 350 g",),
    handling="Keep at 5 °C or colder.",
    allergens=("celery",),
)
