"""Generated ledgers: acts of one kitchen as events, with their own bookkeeping."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from hypothesis import strategies as st

from lidclock.domain.containers import Inventory
from lidclock.domain.events import Event

START = datetime(2026, 10, 28, 8, tzinfo=UTC)


@dataclass
class Ledger:
    """Events act by act; masses in tenths of a gram are booked beside them.

    `held` is what each container that still holds something should hold; `gone` is
    what was taken, used or poured into a mixture.
    """

    acts: list[list[Event]] = field(default_factory=list)
    held: dict[str, int] = field(default_factory=dict)
    gone: int = 0
    filled: int = 0
    corrections: set[str] = field(default_factory=set)
    codes: int = 0
    clock: datetime = START
    count: int = 0

    def new_code(self) -> str:
        self.codes += 1
        return f"C{self.codes:03}"

    def act(self, *facts: tuple[str, str, dict[str, object]]) -> None:
        """Append one act; all its events happen at the same moment."""
        self.clock += timedelta(minutes=7)
        act = f"act-{len(self.acts)}"
        self.acts.append([self._event(act, *fact) for fact in facts])

    def _event(self, act: str, kind: str, subject: str, body: dict) -> Event:  # type: ignore[type-arg]
        self.count += 1
        return Event(
            f"e{self.count:05}",
            kind,
            subject,
            self.clock,
            self.clock,
            "America/New_York",
            act=act,
            body=body,
        )

    @property
    def events(self) -> list[Event]:
        return [event for act in self.acts for event in act]

    @property
    def grams_filled(self) -> int:
        return self.filled

    def before_last_act(self) -> list[Event]:
        return [event for act in self.acts[:-1] for event in act]

    def undo_last_act(self) -> list[Event]:
        self.clock += timedelta(minutes=1)
        return [
            self._event("undo", "corrected", x.subject, {"event": x.id, "void": True})
            for x in self.acts[-1]
        ]

    def grams_accounted_for(self, inventory: Inventory) -> int:
        """What is in the containers by the fold, and what has gone by the books."""
        here = sum(
            round(container.mass_g * 10)
            for container in inventory.containers.values()
            if container.is_live and container.mass_g is not None
        )
        return here + self.gone


def _fill(draw: st.DrawFn, ledger: Ledger) -> None:
    grams = [draw(st.integers(1, 30_000)) for _ in range(draw(st.integers(1, 3)))]
    batch = f"b{len(ledger.acts)}"
    body = {"number": len(ledger.acts) + 1, "food": "soup", "count": len(grams)}
    facts: list[tuple[str, str, dict[str, object]]] = [("made", batch, body)]
    for index, tenths in enumerate(grams, start=1):
        code = ledger.new_code()
        filled = {"batch": batch, "index": index, "mass_g": tenths / 10}
        facts.append(("filled", code, filled))
        ledger.held[code] = tenths
        ledger.filled += tenths
    ledger.act(*facts)


def _place(draw: st.DrawFn, ledger: Ledger, code: str) -> None:
    state = draw(st.sampled_from(("fridge", "freezer", "counter", "hot")))
    ledger.act(("placed", code, {"place": state, "state": state}))


def _take(draw: st.DrawFn, ledger: Ledger, code: str) -> None:
    tenths = draw(st.integers(1, ledger.held[code]))
    ledger.act(("taken", code, {"mass_g": tenths / 10}))
    ledger.gone += tenths
    ledger.held[code] -= tenths


def _use(_: st.DrawFn, ledger: Ledger, code: str) -> None:
    ledger.act(("used", code, {}))
    ledger.gone += ledger.held.pop(code)


def _split(draw: st.DrawFn, ledger: Ledger, code: str) -> None:
    tenths = draw(st.integers(1, ledger.held[code]))
    cut = draw(st.integers(0, tenths))
    shares = {ledger.new_code(): share for share in (cut, tenths - cut) if share}
    into = {child: share / 10 for child, share in shares.items()}
    ledger.act(
        *(
            ("filled", child, {"mass_g": g, "parent": code})
            for child, g in into.items()
        ),
        ("split", code, {"into": into}),
    )
    ledger.held |= shares
    ledger.held[code] -= tenths


def _combine(draw: st.DrawFn, ledger: Ledger, code: str) -> None:
    others = sorted(other for other in ledger.held if other != code)
    parts = [code, *([draw(st.sampled_from(others))] if others else [])]
    whole = sum(ledger.held.pop(part) for part in parts)
    mixture = ledger.new_code()
    ledger.act(
        ("filled", mixture, {"food": "stew", "mass_g": whole / 10}),
        ("combined", mixture, {"from": parts}),
        *(("combined", part, {"into": mixture}) for part in parts),
    )
    ledger.held[mixture] = whole


def _correct(draw: st.DrawFn, ledger: Ledger, _: str) -> None:
    """A later correction of the time: it moves no gram."""
    event = draw(st.sampled_from(ledger.acts[0]))
    at = (START + timedelta(minutes=draw(st.integers(-600, 5)))).isoformat()
    body = {"event": event.id, "set": {"happened_at": at}}
    ledger.act(("corrected", event.subject, body))
    ledger.corrections.add(ledger.acts[-1][0].id)


_ACTS = (_place, _place, _take, _use, _split, _combine, _correct)


@st.composite
def ledgers(draw: st.DrawFn, most: int = 8) -> Ledger:
    """A kitchen's day: fillings, moves, takings, splits, mixtures, corrections."""
    ledger = Ledger()
    _fill(draw, ledger)
    for _ in range(draw(st.integers(0, most))):
        open_codes = sorted(code for code, grams in ledger.held.items() if grams)
        if not open_codes or draw(st.integers(0, 5)) == 0:
            _fill(draw, ledger)
        else:
            step = draw(st.sampled_from(_ACTS))
            step(draw, ledger, draw(st.sampled_from(open_codes)))
    return ledger
