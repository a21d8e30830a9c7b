"""Eight weeks lived under a policy: what is eaten, frozen, thrown away, and missed."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field, replace
from datetime import datetime, time, timedelta

from lidclock.plan.allot import Need, allot, issue_order
from lidclock.plan.lots import Lot
from lidclock.plan.surplus import Risk
from lidclock.plan.use_up import use_up
from simulation import limits
from simulation.card import CHOICES, portions_to_make, risks_of
from simulation.kitchen import (
    STOCKS,
    Container,
    Day,
    Script,
    Table,
    Want,
    instant,
)
from simulation.learned import Record
from simulation.policies import KNOWN_DAYS, Policy

_A_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Eaten:
    """One portion out of a container, before `last_moment`; `seat` is who ate it."""

    code: str
    at: datetime
    seat: int
    last_moment: datetime
    is_thawed: bool = False
    is_planned: bool = False


@dataclass(slots=True)
class Life:
    """What became of everything; portions by code where a Counter.

    `no_slot` are lids that were to be frozen on a morning when the freezer was full.
    """

    script: Script
    policy: Policy
    lids: dict[str, Container] = field(default_factory=dict)
    made: Counter[str] = field(default_factory=Counter)
    eaten: list[Eaten] = field(default_factory=list)
    wasted: Counter[str] = field(default_factory=Counter)
    frozen: Counter[str] = field(default_factory=Counter)
    in_freezer: Counter[str] = field(default_factory=Counter)
    in_fridge: Counter[str] = field(default_factory=Counter)
    no_slot: set[str] = field(default_factory=set)
    unmet: int = 0
    picks: int = 0
    out_of_order: int = 0
    late_saves: int = 0
    occupied: list[int] = field(default_factory=list)


def live(script: Script, policy: Policy, known_days: int = KNOWN_DAYS) -> Life:
    """Live the script; nothing in it but `policy` decides what is not drawn."""
    return _Kitchen(script, policy, Record(known_days)).live()


class _Kitchen:
    """The fridge, the freezer, and the people who go to them."""

    def __init__(self, script: Script, policy: Policy, record: Record) -> None:
        self.script, self.policy, self.record = script, policy, record
        self.life = Life(script, policy)
        self.lids = self.life.lids
        self.fridge: dict[str, list[Lot]] = {name: [] for name in STOCKS}
        self.freezer: dict[str, list[tuple[Lot, datetime]]] = {n: [] for n in STOCKS}
        self.thawed: set[str] = set()
        self.seat = 0

    def live(self) -> Life:
        """Day by day: throw away, read the card, lunch, make, dinner."""
        for day in self.script.days:
            self._throw_away(day.card_at)
            offered = self._plan_use_up(day)
            self._freeze(day, {lot.code for lot in offered})
            self.life.occupied.append(sum(map(len, self.freezer.values())))
            self._put_in(day.opened)
            there, before = self._there(), len(self.life.eaten)
            self._eat(day.lunch, [])
            self._make(day)
            there |= self._there()
            self._eat(day.dinner, offered)
            self._note(there - {lot.food for lot in offered}, before)
        self._throw_away(instant(self.script.days[-1].on + _A_DAY, time(0)))
        for lots in self.fridge.values():
            self.life.in_fridge.update({x.code: x.portions for x in lots})
        for kept in self.freezer.values():
            self.life.in_freezer.update({x.code: x.portions for x, _ in kept})
        return self.life

    def _put_in(self, containers: tuple[Container, ...]) -> None:
        for one in containers:
            name, made_at = one.stock.name, one.made_at
            ends = limits.last_moment(name, made_at)
            opened_at = made_at if one.stock.is_pack else None
            self.lids[one.code] = one
            self.life.made[one.code] = one.portions
            self.fridge[name].append(
                Lot(one.code, name, one.portions, ends, None, opened_at, made_at)
            )

    def _throw_away(self, now: datetime) -> None:
        for name, lots in self.fridge.items():
            kept = [lot for lot in lots if _ends(lot) > now]
            if len(kept) < len(lots):
                gone = {x.code: x.portions for x in lots if _ends(x) <= now}
                self.life.wasted.update(gone)
                self.fridge[name] = kept

    def _there(self) -> set[str]:
        return {name for name, lots in self.fridge.items() if lots}

    def _note(self, there: set[str], before: int) -> None:
        """Put the day on record: what came out of the fridge, and of the freezer."""
        eaten = Counter(self.lids[x.code].stock.name for x in self.life.eaten[before:])
        self.record.end_day(there, eaten)

    # The card.

    def _plan_use_up(self, day: Day) -> list[Lot]:
        """The containers of tonight's planned dinner, as many portions as it takes."""
        policy = self.policy
        if day.on.weekday() not in policy.use_up_days or day.use_up >= policy.obeys:
            return []
        shelf = {name: self._risks(name, day) for name in STOCKS}
        plan = use_up((), shelf, CHOICES.worth_of, eaters=self.script.kitchen.eaters)
        if plan is None:
            return []
        return [replace(one.lot, portions=one.portions) for one in plan.taken]

    def _freeze(self, day: Day, planned: set[str]) -> None:
        """What somebody freezes unasked, then what the policy has frozen."""
        surplus = {
            risk.lot.code
            for name in STOCKS
            if self.policy.has_freezing
            for risk in self._risks(name, day)
            if risk.is_surplus
        }
        for lots in list(self.fridge.values()):
            for lot in sorted(lots, key=issue_order, reverse=True):
                if lot.code not in planned and self._wants_frozen(lot, day, surplus):
                    self._into_freezer(lot, day.card_at)

    def _wants_frozen(self, lot: Lot, day: Day, surplus: set[str]) -> bool:
        if lot.code in self.thawed:
            return False
        lid = self.lids[lot.code]
        age = (day.card_at - lid.made_at).days
        if lid.habit_draws[age] < self.script.kitchen.habit:
            return True
        return lot.code in surplus and lid.obey_draws[age] < self.policy.obeys

    def _into_freezer(self, lot: Lot, at: datetime) -> None:
        """Put it there if there is room, and the clock would have it thawed again."""
        is_full = sum(map(len, self.freezer.values())) >= (
            self.script.kitchen.freezer_slots
        )
        made_at = self.lids[lot.code].made_at
        if not limits.can_freeze(lot.food, made_at, at):
            return
        if is_full:
            self.life.no_slot.add(lot.code)
            return
        self.fridge[lot.food].remove(lot)
        self.freezer[lot.food].append((replace(lot, last_moment=None), at))
        self.life.frozen[lot.code] += lot.portions

    def _risks(self, name: str, day: Day) -> tuple[Risk, ...]:
        return risks_of(self.fridge[name], self.record, day)

    def _make(self, day: Day) -> None:
        """As many as the script says, or as are proposed."""
        for making in day.made:
            name, portions = making.stock.name, making.portions
            if self.policy.has_making and making.obeys < self.policy.obeys:
                frozen = sum(lot.portions for lot, _ in self.freezer[name])
                lots = self.fridge[name]
                proposed = portions_to_make(name, lots, frozen, self.record, day)
                portions = portions if proposed is None else proposed
            self._put_in(making.lids[:portions])

    # The table.

    def _eat(self, table: Table, offered: list[Lot]) -> None:
        """Everybody takes what they can have, one after the other."""
        left = {lot.code: lot.portions for lot in offered}
        for self.seat, want in enumerate(table.wants):
            served = self._planned(want, left)
            if served is not None:
                self._take(served, table.at, is_planned=True)
            elif not want.is_else:
                self._serve(want, table.at)

    def _planned(self, want: Want, left: dict[str, int]) -> Lot | None:
        """What they take of the planned meal: what they like, or what is first."""
        on_offer = [
            lot
            for code, portions in left.items()
            if portions
            for lot in self.fridge[self.lids[code].stock.name]
            if lot.code == code
        ]
        liked = [x for x in on_offer if x.food in want.ranks and not want.is_else]
        if not liked and want.joins >= self.script.kitchen.joins:
            return None
        found = next(iter(liked or on_offer), None)
        if found is not None:
            left[found.code] -= 1
        return found

    def _serve(self, want: Want, at: datetime) -> None:
        """The first food they like that is there; then, perhaps, out of the freezer."""
        found = [name for name in want.ranks if self.fridge[name]]
        if self.policy.has_steering and want.obeys < self.policy.obeys:
            found.sort(key=lambda name: min(map(_ends, self.fridge[name])))
        if found:
            self._take(self._picked(self.fridge[found[0]], want, at), at)
            return
        if want.looks < self.script.kitchen.looks:
            for name in want.ranks:
                if self.freezer[name]:
                    self._thaw(name, at)
                    return
        self.life.unmet += 1

    def _picked(self, lots: list[Lot], want: Want, at: datetime) -> Lot:
        """Which container the hand goes to."""
        first = min(lots, key=issue_order)
        if self.policy.has_order and want.obeys < self.policy.obeys:
            served = allot(lots, [Need(at, first.food, 1)]).servings[0]
            lot = served.shares[0].lot
        elif want.newest < self.script.kitchen.newest:
            lot = max(lots, key=lambda one: (one.made_at, one.code))
        else:
            lot = lots[int(want.which * len(lots))]
        self.life.picks += 1
        self.life.out_of_order += _ends(lot) > _ends(first)
        return lot

    def _take(self, lot: Lot, at: datetime, *, is_planned: bool = False) -> None:
        lots, ends = self.fridge[lot.food], _ends(lot)
        place = lots.index(lot)
        if lot.portions == 1:
            del lots[place]
        else:
            lots[place] = replace(lot, portions=lot.portions - 1)
        self.life.late_saves += ends - at < 2 * _A_DAY
        self.life.eaten.append(
            Eaten(lot.code, at, self.seat, ends, is_planned=is_planned)
        )

    def _thaw(self, name: str, at: datetime) -> None:
        """Take out the oldest; what is left of its container goes to the fridge."""
        lot, frozen_at = min(self.freezer[name], key=lambda one: issue_order(one[0]))
        self.freezer[name].remove((lot, frozen_at))
        made_at = self.lids[lot.code].made_at
        ends = limits.thawed_until(name, made_at, frozen_at, at)
        self.life.eaten.append(Eaten(lot.code, at, self.seat, ends, is_thawed=True))
        self.thawed.add(lot.code)
        if lot.portions > 1:
            rest = replace(lot, portions=lot.portions - 1, last_moment=ends)
            self.fridge[name].append(rest)


def _ends(lot: Lot) -> datetime:
    assert lot.last_moment is not None
    return lot.last_moment
