"""The kitchen's books: what came in, where it went; nothing counted twice.

What is split or combined moves into new containers and takes its portions and its worth
along. What went missing is out until it is found. The books hear each event as the fold
applies it, so corrections and undone acts are in them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from lidclock.domain.containers import Container, End, Inventory
from lidclock.domain.events import Event
from lidclock.domain.fold import Before
from lidclock.plan.amounts import NOTHING, Amount, tenths, weighed

MADE, OPENED, TAKEN_IN, FOUND = "made", "opened", "taken in", "found"
EATEN, COOKED, GIVEN = "eaten", "cooked", "given"
WASTED, MISSING = "wasted", "missing"
MOVED_IN, MOVED_OUT = "moved in", "moved out"
INWARD = frozenset({MADE, OPENED, TAKEN_IN, FOUND, MOVED_IN})

# What a container is worth when it is filled: portions and money, no mass.
Valued = Callable[[Inventory, Container], Amount]


@dataclass(slots=True)
class Posting:
    """One amount of one food that came in or went out; `event` is what did it."""

    at: datetime
    container: Container
    account: str
    amount: Amount
    event: Event

    @property
    def signed(self) -> Amount:
        """The amount as stock feels it: what went out is below zero."""
        return self.amount if self.account in INWARD else -self.amount


def cooked_parts(events: Iterable[Event]) -> frozenset[tuple[str, str]]:
    """Act, or hour, and container of whatever went into a batch that was made."""
    found = set()
    for event in events:
        if event.kind == "made":
            keys = [event.act] if event.act else []
            keys.append(event.happened_at.isoformat())
            found |= {
                (key, code) for key in keys for code in event.body.get("from", ())
            }
    return frozenset(found)


class Books:
    """Postings in the order in which things happened; `heard` is for the fold."""

    def __init__(self, valued: Valued, cooked: frozenset[tuple[str, str]]) -> None:
        self.postings: list[Posting] = []
        self._valued = valued
        self._cooked = cooked
        self._held: dict[str, Amount] = {}
        self._lost: set[str] = set()
        self._entered: dict[str, Posting] = {}
        self._gone: dict[str, str] = {}
        self._early: dict[str, Amount] = {}

    def heard(
        self, inventory: Inventory, container: Container, event: Event, before: Before
    ) -> None:
        """Book what one event did to one container."""
        if event.kind == "filled":
            self._fill(inventory, container, event)
            return
        if container.code not in self._entered:
            self._enter(inventory, container, event)
        if _is_missing(before.end) and not _is_missing(container.end):
            self._find(container, event)
        step = _STEPS.get(event.kind)
        if step is not None:
            step(self, inventory, container, event)

    def finish(self, inventory: Inventory, events: Iterable[Event]) -> None:
        """Book the containers whose splitting nobody recorded."""
        for event in events:
            container = inventory.containers.get(event.subject)
            if event.kind != "filled" or container is None:
                continue
            if container.code not in self._entered:
                self._enter(inventory, container, event)

    def _fill(self, inventory: Inventory, container: Container, event: Event) -> None:
        """A part of another one enters with its splitting, all else at once."""
        if not event.body.get("parent") and container.code not in self._entered:
            self._enter(inventory, container, event)

    def _enter(self, inventory: Inventory, container: Container, event: Event) -> None:
        amount = weighed(container.filled_g) + self._valued(inventory, container)
        self._post(container, _way_in(container, event), amount, event)
        self._entered[container.code] = self.postings[-1]
        self._held[container.code] = amount
        self._arrive(container.code)

    def _arrive(self, code: str) -> None:
        """Add what was poured in before it was there."""
        early = self._early.pop(code, None)
        if early is not None:
            self._held[code] = self._held.get(code, NOTHING) + early

    def _post(
        self, container: Container, account: str, amount: Amount, event: Event
    ) -> None:
        self.postings.append(
            Posting(event.happened_at, container, account, amount, event)
        )

    def _out(
        self, container: Container, account: str, event: Event, left_g: float | None
    ) -> Amount:
        """What left, down to `left_g`, or all of it where that is None."""
        code = container.code
        held, left = self._held.get(code, NOTHING), tenths(left_g) or 0
        gone = held.share(held.mass - left, held.mass) if left else held
        if left:
            gone = replace(gone, mass=held.mass - left)
        self._held[code] = held - gone
        if code in self._lost:
            # It is taken from what was missing, so that was there after all.
            self._post(container, FOUND, gone, event)
        self._post(container, account, gone, event)
        if not left:
            self._gone[code] = account
            self._lost.discard(code)
        return gone

    def _find(self, container: Container, event: Event) -> None:
        if container.code in self._lost:
            self._lost.discard(container.code)
            self._post(container, FOUND, self._held[container.code], event)

    def lose(self, _: Inventory, container: Container, event: Event) -> None:
        """It was looked for and not seen: out of the stock, but not forgotten."""
        if container.code not in self._lost:
            self._lost.add(container.code)
            self._post(container, MISSING, self._held[container.code], event)

    def end(self, _: Inventory, container: Container, event: Event) -> None:
        """All that is left was used, given or thrown away."""
        self._out(container, _ENDS[event.kind], event, None)

    def take(self, _: Inventory, container: Container, event: Event) -> None:
        """Some of it was used; of what nobody weighed, nobody knows how much."""
        if container.mass_g is None:
            return
        keys = (event.act, event.happened_at.isoformat())
        is_cooked = any((key, container.code) in self._cooked for key in keys)
        account = COOKED if is_cooked else EATEN
        self._out(container, account, event, _left(container))

    def split(self, inventory: Inventory, container: Container, event: Event) -> None:
        """Part of it moves into containers of their own, with its worth."""
        moved = NOTHING
        if container.mass_g is not None:
            moved = self._out(container, MOVED_OUT, event, _left(container))
        shares = event.body["into"]
        whole = sum(tenths(one) or 0 for one in shares.values())
        rest, to_come = replace(moved, mass=0, unweighed=0), whole
        for code, mass_g in shares.items():
            share = rest.share(tenths(mass_g) or 0, to_come)
            rest, to_come = rest - share, to_come - (tenths(mass_g) or 0)
            child = inventory.containers.get(code)
            if child is None or code in self._entered:
                continue
            if container.mass_g is None:
                share = self._valued(inventory, child)
            amount = weighed(child.filled_g) + share
            self._post(child, MOVED_IN, amount, event)
            self._entered[code], self._held[code] = self.postings[-1], amount

    def combine(self, inventory: Inventory, container: Container, event: Event) -> None:
        """A mixture holds what its parts held; a part takes its worth along."""
        code = container.code
        if "into" not in event.body:
            self._mix(container)
            return
        moved = self._out(container, MOVED_OUT, event, None)
        worth = replace(moved, mass=0, unweighed=0)
        mixture = inventory.containers.get(event.body["into"])
        if mixture is None or worth.is_nothing or mixture.code == code:
            return
        self._post(mixture, MOVED_IN, worth, event)
        if mixture.code in self._gone:
            self._post(mixture, self._gone[mixture.code], worth, event)
        elif mixture.code in self._entered:
            self._held[mixture.code] += worth
        else:
            early = self._early.get(mixture.code, NOTHING)
            self._early[mixture.code] = early + worth

    def _mix(self, mixture: Container) -> None:
        """What was booked as filled is worth what its parts bring, and no more."""
        entry = self._entered[mixture.code]
        own = weighed(mixture.filled_g)
        self._held[mixture.code] -= entry.amount - own
        entry.account, entry.amount = MOVED_IN, own


def _left(container: Container) -> float | None:
    """What is still in it; None once it has ended."""
    return None if _has_ended(container.end) else container.mass_g


def _has_ended(end: End | None) -> bool:
    return end is not None and not _is_missing(end)


def _is_missing(end: End | None) -> bool:
    return end is not None and end.kind == "missing"


def _way_in(container: Container, event: Event) -> str:
    """How it came into the kitchen's books."""
    if container.parent:
        return MOVED_IN
    if event.body.get("adopted"):
        return TAKEN_IN
    return MADE if container.batch else OPENED


_ENDS = {"used": EATEN, "given": GIVEN, "discarded": WASTED}
_STEPS: dict[str, Callable[[Books, Inventory, Container, Event], None]] = {
    "missing": Books.lose,
    "used": Books.end,
    "given": Books.end,
    "discarded": Books.end,
    "taken": Books.take,
    "split": Books.split,
    "combined": Books.combine,
}
