"""What the charts say of food after a power cut: pure, the worst case first.

The charts are of a US agency and stand beside every guidance set. They judge what the
power cut did, nothing else: a container keeps its own last day.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from math import isfinite

from lidclock.domain.moments import say_hours
from lidclock.guidance.load import load_cautions
from lidclock.guidance.model import Source
from lidclock.guidance.outage_chart import (
    DECISIONS,
    FRIDGE,
    ICY,
    WARM,
    Advice,
    Cited,
    Hold,
    Row,
    load_charts,
    say_degrees,
)

FOUND = (ICY, WARM)
_LOSS = "what is frozen again loses quality"
_SHARED_CAUTIONS = ("senses", "high-risk", "local")


@dataclass(frozen=True, slots=True)
class Decision:
    """What to do with one food, which row says so, and the arithmetic.

    `record` is the id of the published row, empty where none fits.
    """

    decision: str
    row: str
    record: str = ""
    cited: Cited | None = None
    why: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def source(self) -> Source | None:
        """The document behind it; None where nothing published is."""
        return self.cited.source if self.cited else None

    @property
    def section(self) -> str:
        """Where in the document it stands."""
        return self.cited.section if self.cited else ""

    @property
    def severity(self) -> int:
        """How strict it is: 0 for `keep`, most for `discard`."""
        return DECISIONS.index(self.decision)


def judge_fridge(
    category: str,
    hours_out: float,
    end_c: float | None,
    stood_h: float | None = None,
) -> Decision:
    """A food in a fridge that had no power for `hours_out`, its door shut.

    It stood there for `stood_h` of them, where that was not all the time.
    `end_c` was measured when the power came back. Cold then means that it never was
    too warm. Unmeasured, a shut door holds for some hours; after them, or where a
    reading is too warm, it counts as too warm from the start, and its row applies.
    """
    stood_h = hours_out if stood_h is None else stood_h
    charts, out = load_charts(), say_out(hours_out)
    row, hold = charts.rows_for(FRIDGE, category)[FRIDGE], charts.holds[FRIDGE]
    limit = say_degrees(row.limit_c)
    if end_c is None and hours_out <= hold.hours:
        return held(hold, f"{out}, not measured: within {hold.hours:g} h")
    read = "not measured" if end_c is None else f"{say_degrees(end_c)} at the end"
    if end_c is not None and end_c <= row.limit_c:
        return decided(row, "keep", f"{out}, {read}: not above {limit}")
    if stood_h < hours_out:
        out += f", {say_hours(timedelta(hours=stood_h))} of them in there"
    notes = differences(row, stood_h)
    if stood_h <= row.hours:
        why = f"{out}, {read}: not {row.condition}"
        return decided(row, "keep", why, notes)
    why = f"{out}, {read}: counted as above {limit}"
    return decided(row, row.verdict, why, notes)


def judge_freezer(
    category: str, hours_out: float, is_full: bool, state_found: str | None
) -> Decision:
    """A food in a freezer that had no power for `hours_out`, its door shut.

    `state_found` is `icy` or `warm` and decides wherever somebody looked. Else a shut
    door holds for some hours, and after them somebody has to look.
    """
    if state_found not in (None, *FOUND):
        raise ValueError(f"found icy or warm, not {state_found!r}")
    charts, out = load_charts(), say_out(hours_out)
    rows = charts.rows_for("freezer", category)
    hold = charts.holds["freezer-full" if is_full else "freezer-half"]
    if state_found == ICY:
        return decided(rows[ICY], rows[ICY].verdict, f"{out}, found icy")
    if state_found == WARM:
        return thawed(rows[WARM], rows[ICY], hours_out, f"{out}, found warm")
    if hours_out <= hold.hours:
        return held(hold, f"{out}: within {hold.hours:g} h")
    why = f"{out}, {hold.says}: over {hold.hours:g} h, nobody said what was found"
    return unseen(rows[WARM], rows[ICY], why)


def thawed(warm: Row, icy: Row, warm_h: float, why: str) -> Decision:
    """Too warm; a row that allows more hours than others is met only after them."""
    if warm.hours > icy.hours and warm_h <= warm.hours:
        return decided(warm, icy.verdict, f"{why}: for no more than {warm.hours:g} h")
    return decided(warm, warm.verdict, why)


def unseen(warm: Row, icy: Row, why: str) -> Decision:
    """Nobody looked: both rows, the worst first; `discard` only where both say so."""
    is_lost = warm.verdict == icy.verdict == "discard"
    both = warm.sentence
    if warm.id:
        both = f"{both}; {icy.outcome}"
    return Decision(
        "discard" if is_lost else "check",
        both,
        warm.id,
        warm.cited,
        (why,),
    )


def held(hold: Hold, why: str) -> Decision:
    """A shut door holds: kept."""
    row = f"{hold.says}: holds its cold for {hold.hours:g} h"
    return Decision("keep", row, hold.id, hold.cited, (why,))


def decided(row: Row, decision: str, why: str, notes: tuple[str, ...] = ()) -> Decision:
    """What a row says to do."""
    if decision == "refreeze":
        notes = (*notes, row.quality or _LOSS)
    return Decision(decision, row.sentence, row.id, row.cited, (why,), notes)


def differences(row: Row, hours_out: float) -> tuple[str, ...]:
    """What others say of perishables, where that comes to something else."""
    others = load_charts().advice
    least = min(one.hours for one in others)
    if hours_out <= min(least, row.hours):
        return ()
    is_stricter = row.verdict in ("check", "discard") and row.hours < least
    said = "; ".join(_advised(one) for one in others)
    binds = "where the chart names a food itself, the chart is followed"
    if is_stricter:
        binds = f"the chart's {row.hours:g} h are stricter than {least:g} h and bind"
    return (f"elsewhere: {said}", binds)


def _advised(one: Advice) -> str:
    source = one.cited.source
    return f"{one.says} ({source.authority}, {source.document}, {source.year})"


def say_out(hours_out: float) -> str:
    """`6 h without power`; ValueError unless that is no less than none."""
    if not isfinite(hours_out) or hours_out < 0:
        raise ValueError(f"hours without power must be 0 or more, not {hours_out}")
    return f"{say_hours(timedelta(hours=hours_out))} without power"


def outage_cautions() -> tuple[str, ...]:
    """What to be careful of after a power cut."""
    shared = load_cautions()
    return (*load_charts().cautions, *(shared[key] for key in _SHARED_CAUTIONS))
