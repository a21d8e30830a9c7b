"""Wet, torn, blurred and curved symbols: read rightly or not at all, never wrongly.

zxing-cpp and zbar read Code 128 (2 and 3 dots a module), QR (version 2, level M) and
Data Matrix after fourteen kinds of damage and none: 6,000 symbols. Where the baseline
(see `damaged_symbols`) had read all, ours must be read as well.
docs/degraded-symbols.md shows both side by side and is what is measured here.
"""

import re
from pathlib import Path

import pytest

from damaged_symbols import BASELINE, BASELINE_TRIALS, DAMAGE, KINDS, TRIALS, measure
from second_decoder import need_zbar

PAGE = Path(__file__).parents[2] / "docs" / "degraded-symbols.md"
# Where a blot falls decides, and those measured before fell elsewhere; how a label
# bends out of sight at the sides of a tub was computed by other code.
OTHER_DAMAGE = ("white blot", "round a tub, 140")
# Builds of the image libraries round differently.
TOLERATED_POINTS = 5


def page_rows():
    """The page's table: damage, then a (zxing-cpp, zbar, baseline) for each symbol."""
    lines = PAGE.read_text("utf-8").splitlines()
    _, *cells = next(line for line in lines if line.startswith("| damage")).split("|")[
        1:-1
    ]
    titles = [cell.strip() for cell in cells]
    kinds = [next(k for k, one in KINDS.items() if one.title == t) for t in titles]
    rows = {}
    for line in lines:
        damage, *values = [cell.strip() for cell in line.split("|")[1:-1]] or [""]
        if damage in DAMAGE:
            parted = [tuple(map(number, value.split(" / "))) for value in values]
            rows[damage] = dict(zip(kinds, parted, strict=True))
    return rows


def number(cell):
    return None if cell == "-" else int(cell)


ROWS = page_rows()


@pytest.fixture(
    scope="module",
    params=[(kind, damage) for kind in KINDS for damage in DAMAGE],
    ids=lambda one: f"{one[0]}-{one[1]}",
)
def measured(request):
    """One kind of symbol with one kind of damage, and what was read, once for both."""
    return *request.param, measure(*request.param)


def test_a_damaged_symbol_is_read_rightly_or_not_at_all(measured):
    kind, damage, found = measured
    before = BASELINE.get(damage, (BASELINE_TRIALS,) * len(KINDS))
    then = before[list(KINDS).index(kind)]

    assert found.wrong == ()
    assert (
        found.zxing >= 0.95 * TRIALS
        or then < BASELINE_TRIALS
        or damage.startswith(OTHER_DAMAGE)
    )
    on_page = ROWS[damage][kind][0]
    assert abs(on_page - 100 * found.zxing / TRIALS) <= TOLERATED_POINTS


def test_the_page_shows_what_zbar_reads(measured):
    kind, damage, found = measured
    if not KINDS[kind].is_for_zbar:
        assert ROWS[damage][kind][1] is None
        return
    need_zbar()

    on_page = ROWS[damage][kind][1]
    assert abs(on_page - 100 * found.zbar / TRIALS) <= TOLERATED_POINTS


def test_the_page_has_every_damage_and_the_baseline_beside_it():
    assert ROWS.keys() == DAMAGE.keys()
    assert DAMAGE.keys() - BASELINE.keys() == {"none"}
    for damage, before in BASELINE.items():
        shown = [cells[2] for cells in ROWS[damage].values()]

        assert shown == [100 * then // BASELINE_TRIALS for then in before]


def test_there_are_at_least_five_thousand_trials_and_the_page_counts_them():
    pages = PAGE.read_text("utf-8")
    by_zbar = sum(kind.is_for_zbar for kind in KINDS.values())
    readings = (len(KINDS) + by_zbar) * len(DAMAGE) * TRIALS

    assert len(KINDS) * len(DAMAGE) * TRIALS >= 5000
    assert re.search(rf"\*\*0\*\* of {readings:,}\.", pages)
    assert f"How many of {TRIALS} symbols" in pages


def test_the_bars_outlast_drops_and_the_squares_outlast_turning():
    """What the page concludes, from its own figures."""
    assert min(ROWS["12 drops"][kind][0] for kind in ("code128-2", "code128-3")) > 90
    assert ROWS["12 drops"]["qr-3"][0] < 20
    assert ROWS["turned 30 degrees"]["qr-3"][:2] == (100, 100)
    assert ROWS["turned 30 degrees"]["code128-3"][:2] == (0, 0)
