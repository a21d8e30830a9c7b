"""Labels that try the drawing: long, accented, crowded, undated, paused."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from lidclock.labels import Label, Ruler, Stock, load_stock

NINE = (
    *("milk", "eggs", "fish", "crustacean shellfish", "tree nuts"),
    *("peanuts", "wheat", "soybeans", "sesame"),
)
LONG_NAME = "Slow-braised shiitake and black-bean filling with pickled mustard greens"
MAKING = date(2026, 10, 31)


def days(count: int, skipped: tuple[date, ...] = ()) -> Ruler:
    """A rule of `count` days from the making day."""
    return Ruler(MAKING, MAKING + timedelta(days=count - 1), skipped)


def label(code: str = "4F7K2M0", **changes: object) -> Label:
    """An everyday label, with whatever a test needs to be different."""
    words: dict[str, object] = {
        "name": "Braised filling",
        "uri": f"HTTP://LIDCLOCK.LOCAL/C/{code}",
        "headline_word": "USE BY",
        "headline": "Tue 3 Nov 2026",
        "lines": ("made Sat 31 Oct 17:40 · 240 g · box 1 of 4",),
        "handling": "Keep at 5 °C or colder.",
        "allergens": ("soy", "wheat"),
        "ruler": days(4),
    }
    return Label(code=code, **(words | changes))  # type: ignore[arg-type]


CASES = {
    "everyday": label(),
    "crowded": label(
        "B1C2D3B",
        name=LONG_NAME,
        headline="Wed 30 Sep 2026",
        lines=("made Thu 24 Sep 17:40 · 1.25 kg · box 12 of 14",),
        handling="Keep at 5 °C or colder. Heat through to 74 °C before serving.",
        allergens=NINE,
        ruler=days(7),
    ),
    "fortnight": label(
        "JJ7KJM3",
        headline_word="BEST BY",
        headline="Fri 13 Nov 2026",
        headline_note="house rule, no authority",
        ruler=days(14),
    ),
    "frozen": label(
        "0006666",
        headline_word="FROZEN",
        headline="Sat 31 Oct 2026",
        headline_note="1 of 6 days used",
        ruler=None,
    ),
    "undated": label(
        "WXVT5R4",
        headline_word="NO DATE",
        headline="ask before use",
        headline_note="making time not recorded",
        allergens=None,
        ruler=None,
    ),
    "accented": label("9999999", name="Éclair-Crème pâtissière", allergens=()),
    "month": label("GHJKMNP", ruler=days(31)),
    "skipped": label(
        "2345678",
        ruler=days(16, tuple(MAKING + timedelta(days=n) for n in range(1, 12))),
    ),
    "overhang": label("JJJJJJJ", name="Jam", lines=("jar 1 of 2",)),
    "one day": label("V0V0V0V", ruler=days(1)),
    "bare": label("C7C7C7C", lines=(), handling="", allergens=(), ruler=None),
}


@pytest.fixture(params=list(CASES), ids=[name.replace(" ", "-") for name in CASES])
def case(request: pytest.FixtureRequest) -> Label:
    """Each label in turn."""
    return CASES[request.param]


@pytest.fixture
def make() -> Callable[..., Label]:
    """Makes an everyday label with something different about it."""
    return label


@pytest.fixture
def crowded() -> Label:
    """Long name, nine allergens, two sentences of handling."""
    return CASES["crowded"]


@pytest.fixture
def every_case() -> list[Label]:
    """All the labels at once."""
    return list(CASES.values())


# One of each layout, the narrowest and the usual ones.
TYPICAL = ("a4-3x8", "letter-3x10", "roll-50x25", "roll-89x41", "letter-2x5")


@pytest.fixture(params=TYPICAL)
def stock(request: pytest.FixtureRequest) -> Stock:
    """Each typical stock in turn."""
    return load_stock(request.param)
