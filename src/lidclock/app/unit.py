"""The unit of work: what records facts, and sees containers whole."""

from __future__ import annotations

import difflib
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING, Any

from lidclock.app.charging import Charging
from lidclock.app.now import new_ids
from lidclock.app.projection import links_of, snapshot_of, verdict_of
from lidclock.clock.verdict import Verdict
from lidclock.domain.codes import is_code, nearest, normalise
from lidclock.domain.containers import Container, Inventory
from lidclock.domain.events import FOOD_SUBJECT, Event, food_subject
from lidclock.domain.fold import fold
from lidclock.domain.foods import Food
from lidclock.domain.phrases import with_or, with_semicolons
from lidclock.domain.sentences import sentence
from lidclock.domain.snapshots import Snapshot
from lidclock.domain.texts import check_texts
from lidclock.errors import UnknownThingError
from lidclock.guidance.sets import GuidanceSet
from lidclock.scan.payload import CodeRead, read_payload
from lidclock.store import Connection, Ledger, Snapshots

if TYPE_CHECKING:
    from lidclock.app.session import Session


@dataclass(frozen=True, slots=True)
class Fact:
    """Something to record: an event that has no id yet. `at=None` means now."""

    kind: str
    subject: str
    body: Mapping[str, Any] = field(default_factory=dict)
    at: datetime | None = None
    id: str = ""


@dataclass(frozen=True, slots=True)
class View:
    """One container seen whole: what it is, what happened to it, how it stands."""

    container: Container
    food: Food
    allergens: tuple[str, ...] | None
    verdict: Verdict
    inventory: Inventory
    events: tuple[Event, ...] = ()

    @property
    def code(self) -> str:
        """The container's code."""
        return self.container.code

    @property
    def known_allergens(self) -> tuple[str, ...]:
        """The allergens that were recorded, also where some lists are missing."""
        return self.inventory.known_allergens_of(self.container)


CHECK_SYMBOLS = sentence("check the seven symbols on the lid")


class Unit:
    """One transaction on the ledger and its projections."""

    def __init__(self, session: Session, connection: Connection) -> None:
        self.session = session
        self.connection = connection
        self.ledger = Ledger(connection, session.kitchen.id)
        self.snapshots = Snapshots(connection, session.kitchen.id)
        self.charging = Charging(self)
        self._act = ""
        self._views: dict[str, View] = {}
        self._snapshots: dict[str, Snapshot | None] = {}

    def record(self, facts: Iterable[Fact], act: str = "") -> list[Event]:
        """Append `facts` as one act and bring the projections up to date.

        With `act` they join what was recorded under it, so one undo takes back both.
        InputError for a text that nothing could show.
        """
        waiting = list(facts)
        for fact in waiting:
            check_texts(fact.body)
        ids = new_ids(len(waiting))
        session, act = self.session, act or self._act or ids[0]
        events = [
            Event(
                id=fact.id or fresh,
                kind=fact.kind,
                subject=fact.subject,
                happened_at=fact.at or session.now,
                recorded_at=session.now,
                zone=session.kitchen.zone_name,
                who=session.who,
                device=session.device,
                act=act,
                body=fact.body,
            )
            for fact, fresh in zip(waiting, ids, strict=True)
        ]
        self.ledger.append_all(events)
        self.refresh({event.subject for event in events})
        return events

    @contextmanager
    def one_act(self, act: str = "") -> Iterator[str]:
        """What is recorded meanwhile is one act: one undo takes all of it back.

        `act` names it where somebody asks again for what may be done already.
        """
        self._act = act or new_ids(1)[0]
        try:
            yield self._act
        finally:
            self._act = ""

    def has_act(self, act: str) -> bool:
        """Whether anything was recorded as that act, taken back since or not."""
        return bool(act and self.ledger.act(act))

    def refresh(self, subjects: set[str]) -> None:
        """Fold again everything that depends on `subjects`, and store it."""
        codes = set(self.snapshots.dependents(subjects))
        codes |= {subject for subject in subjects if is_code(subject)}
        self.expect({code for code in codes if code not in self._snapshots})
        inventory, events = self._load(subjects | codes)
        earlier, fresh = self._snapshots.copy(), []
        self._views.clear()
        self._snapshots.clear()
        for code in codes:
            container = inventory.containers.get(code)
            if container is None:
                self.snapshots.drop(code)
                continue
            view = self._view(container, inventory, events)
            self._views[code] = view
            fresh.append(snapshot_of(inventory, container, view.verdict))
        self.snapshots.put_all(fresh, earlier)
        for subject in subjects - codes:
            self._refresh_batch_or_food(subject, inventory)

    def _refresh_batch_or_food(self, subject: str, inventory: Inventory) -> None:
        batch = inventory.batches.get(subject)
        if batch is not None:
            self.snapshots.put_batch(batch)
        elif not subject.startswith(FOOD_SUBJECT):
            if "/" not in subject:  # a plan or a meal: nothing is projected from it
                self.snapshots.drop_batch(subject)
        else:
            name = subject.removeprefix(FOOD_SUBJECT)
            if name in inventory.foods:
                self.snapshots.put_food(inventory.foods[name])
            else:
                self.snapshots.drop_food(name)

    def _load(self, subjects: set[str]) -> tuple[Inventory, list[Event]]:
        """Events of `subjects` and of everything upstream of them, folded."""
        wanted = set(subjects)
        for code in subjects:
            known = self.snapshot(code) if is_code(code) else None
            wanted |= set(known.subjects) if known else set()
        events = self.ledger.of(wanted)
        while True:
            inventory = fold(events)
            missing = links_of(inventory) - wanted
            if not missing:
                return inventory, events
            wanted |= missing
            events += self.ledger.of(missing)

    def _view(
        self, container: Container, inventory: Inventory, events: Iterable[Event]
    ) -> View:
        return View(
            container,
            inventory.food_of(container),
            inventory.allergens_of(container),
            self.verdict(inventory, container),
            inventory,
            tuple(events),
        )

    def verdict(self, inventory: Inventory, container: Container) -> Verdict:
        """The verdict on a container now, what its places did charged to it."""
        history = self.charging.measured(inventory.history_of(container))
        return verdict_of(inventory.food_of(container), history, self.session)

    def snapshot(self, code: str) -> Snapshot | None:
        """What lists show of the container `code`, asked for once in this unit."""
        if code not in self._snapshots:
            self._snapshots[code] = self.snapshots.get(code)
        return self._snapshots[code]

    def expect(self, codes: set[str]) -> None:
        """Look up many containers at once, before each is asked for."""
        found = self.snapshots.those(codes)
        self._snapshots |= {code: found.get(code) for code in codes}

    def view(self, code: str) -> View:
        """The container `code`, whole."""
        known = self._views.get(code)
        if known is None:
            inventory, events = self._load({code})
            known = self._view(inventory.containers[code], inventory, events)
            self._views[code] = known
        return known

    def find(self, typed: str) -> Snapshot:
        """The container whose code was typed or scanned; the error names the nearest.

        A code that is not well-formed is never guessed at.
        """
        read = read_payload(typed)
        code = read.code if isinstance(read, CodeRead) else normalise(typed)
        known = self.snapshot(code) if is_code(code) else None
        if known is not None:
            return known
        close = nearest(code, self.snapshots.codes())
        what = {"typed": repr(typed.strip())}
        if is_code(code):
            words = sentence("{typed} is not in this kitchen", **what)
        else:
            words = sentence("{typed} is not a container code", **what)
        raise UnknownThingError(with_semicolons([words, _or_else(close[:3])]))

    def known_food(self, name: str) -> Food | None:
        """The food called `name`, however its accents are encoded; None if unknown.

        Names are composed as they are typed; older ones stand as they were recorded.
        """
        spellings = [unicodedata.normalize(form, name) for form in ("NFC", "NFD")]
        found = (self.snapshots.food(one.casefold()) for one in (name, *spellings))
        return next((one for one in found if one is not None), None)

    def need_food(self, name: str) -> Food:
        """The food called `name`; the error names the nearest known ones."""
        known = self.known_food(name)
        if known is not None:
            return known
        names = [food.name for food in self.snapshots.foods()]
        close = difflib.get_close_matches(name, names, n=3, cutoff=0.5)
        raise UnknownThingError(_no_food(name, close, self.session.guidance))


def _or_else(close: list[str]) -> str:
    """What else may have been meant, or where to look."""
    if not close:
        return CHECK_SYMBOLS
    return sentence("did you mean {codes}?", codes=with_or(close))


def _no_food(name: str, close: list[str], guidance: GuidanceSet) -> str:
    words = {
        word: category.id
        for category in guidance.categories.values()
        for word in (*category.words, category.name.lower(), category.id)
    }
    wanted = [name.lower(), *name.lower().split()]
    fitting = dict.fromkeys(
        words[match]
        for part in wanted
        for match in difflib.get_close_matches(part, words, n=2, cutoff=0.7)
    )
    nearest_foods = f"; known: {', '.join(close)}" if close else ""
    categories = ", ".join(list(fitting)[:3] or sorted(guidance.categories)[:20])
    return (
        f"no food {name!r} yet{nearest_foods}; add it by giving --category "
        f"(for example {categories})"
    )


def food_fact(food: Food) -> Fact:
    """The fact that describes a food."""
    return Fact("noted", food_subject(food.name), {"food": food.as_dict()})
