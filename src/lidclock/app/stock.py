"""Label stock: what there is, and a user's own, added by its nine numbers."""

from __future__ import annotations

import io
import re
from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from lidclock.app import printing
from lidclock.app.files import write_whole
from lidclock.app.session import Session
from lidclock.errors import (
    InputError,
    LabelError,
    RefusedError,
    StoreError,
    UnknownStockError,
)
from lidclock.labels import data
from lidclock.labels.content import clean
from lidclock.labels.stock import Stock, layout_for, list_stock, load_stock
from lidclock.store import Kitchens

_NAME = re.compile(r"[a-z0-9][a-z0-9-]{0,39}")
# Words that may follow `label stock`.
RESERVED = ("add", "remove", "use")
# What to try where the layout for a size does not do, the roomiest first.
_LAYOUTS = ("across-large", "side-large", "across", "side", "small")
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
    is_kitchens: bool = False
    printers: tuple[str, ...] = ()


def all_stock(session: Session | None = None) -> list[Listed]:
    """Every stock there is, a broken file of the user's among them.

    With a session it is told which is the kitchen's, and which lies in a printer.
    """
    own = data.own_names("stock")
    printers = printing.known_printers(session) if session else []
    return [
        Listed(
            *(name, *_loaded(name)),
            is_own=name in own,
            is_kitchens=session is not None and session.kitchen.stock == name,
            printers=tuple(one.name for one in printers if one.stock == name),
        )
        for name in list_stock()
    ]


def _loaded(name: str) -> tuple[Stock | None, str]:
    try:
        return load_stock(name), ""
    except LabelError as error:
        return None, str(error)


def use_stock(session: Session, name: str) -> Stock:
    """Make it the kitchen's: labels go onto it unless another one is named."""
    stock = load_stock(name)
    kitchen = replace(session.kitchen, stock=stock.name)
    with session.write() as unit:
        Kitchens(unit.connection).update(kitchen)
    session.kitchen = kitchen
    return stock


def add_stock(stock: Stock) -> Path:
    """Keep a stock in the user's folder; the file it stands in.

    InputError if the name cannot be one, RefusedError if it is taken.
    """
    if _NAME.fullmatch(stock.name) is None or stock.name in RESERVED:
        raise InputError(
            f"{stock.name!r} cannot be a stock's name: small letters, figures and "
            f"hyphens, 40 at most, and none of {', '.join(RESERVED)}"
        )
    if stock.name in list_stock():
        raise RefusedError(
            f"there is a stock {stock.name} already: choose another name"
            + ("" if stock.name not in data.own_names("stock") else ", or remove it")
        )
    path = _file(stock.name)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(f"cannot make {path.parent}: {error.strerror}") from error
    write_whole(path, [_written(stock).encode()])
    return path


def remove_stock(name: str, session: Session | None = None) -> None:
    """Forget a stock of the user's own; the shipped ones stay.

    RefusedError while it is the kitchen's, or lies in a printer.
    """
    if name not in data.own_names("stock"):
        if name in list_stock():
            raise RefusedError(f"stock {name} came with lidclock and stays")
        own = ", ".join(sorted(data.own_names("stock"))) or "none"
        raise UnknownStockError(f"no stock {name!r} of your own; there is {own}")
    if session is not None:
        _check_unused(name, session)
    _file(name).unlink()


def _check_unused(name: str, session: Session) -> None:
    if session.kitchen.stock == name:
        raise RefusedError(
            f"stock {name} is this kitchen's: choose another one first with "
            "`lidclock label stock use NAME`"
        )
    loaded = [one.name for one in printing.known_printers(session) if one.stock == name]
    if loaded:
        raise RefusedError(
            f"stock {name} lies in {', '.join(loaded)}: remove that printer first, and "
            "add it with another stock"
        )


def find_stock(name: str) -> Stock:
    """The stock of that name; the error names those there are."""
    return load_stock(name)


def numbers_of(stock: Stock) -> dict[str, object]:
    """A stock as JSON-ready data."""
    return asdict(stock)


def drawn_in_characters(stock: Stock) -> list[str]:
    """Its page for a terminal."""
    from lidclock.labels.sketch import in_characters

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
    """A stock from its numbers; without a layout, the one that suits its size.

    LabelError if the numbers make no stock, or if an everyday label does not fit.
    """
    from lidclock.labels.layout import load_layout

    if layout:
        load_layout(layout)
    wide, tall = numbers["label_width_mm"], numbers["label_height_mm"]
    lengths = {key: float(numbers[key]) for key in _NUMBERS if key.endswith("_mm")}
    stock = Stock(
        name=name,
        title=clean(title, "the stock's title") or _title(numbers, kind, shape),
        kind=kind,
        layout=layout or layout_for(wide, tall, shape),
        dpi=dpi,
        shape=shape,
        across=int(numbers["across"]),
        down=int(numbers["down"]),
        **lengths,
    )
    return _fitting(stock, () if layout else _LAYOUTS)


def _title(numbers: Mapping[str, float], kind: str, shape: str) -> str:
    """`sheet, 24 labels of 64.6 x 33.8 mm`, `roll of round labels of 40 mm`."""
    wide, tall = numbers["label_width_mm"], numbers["label_height_mm"]
    size = f"{wide:g}" if shape == "round" else f"{wide:g} x {tall:g}"
    labels = f"{'round ' if shape == 'round' else ''}labels of {size} mm"
    if kind == "roll":
        return f"roll of {labels}"
    return f"sheet, {int(numbers['across'] * numbers['down'])} {labels}"


def _fitting(stock: Stock, others: tuple[str, ...]) -> Stock:
    """The stock with the first layout on which an everyday label stands."""
    from lidclock.labels import arrange_all
    from lidclock.labels.examples import EVERYDAY

    reasons = []
    for layout in dict.fromkeys((stock.layout, *others)):
        candidate = replace(stock, layout=layout)
        try:
            arrange_all([EVERYDAY], candidate, dpi=stock.dpi)
        except LabelError as error:
            reasons.append(str(error).partition(f" on stock {stock.name}: ")[2])
        else:
            return candidate
    why = reasons[0].partition(";")[0]
    raise LabelError(
        f"stock {stock.name}: an everyday label does not fit on "
        f"{stock.label_width_mm:g} x {stock.label_height_mm:g} mm with layout "
        f"{stock.layout}: {why}; check the numbers, or take larger labels"
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
