"""Made, eaten, given, wasted, still there: the books of a period, added up."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from lidclock.plan.amounts import NOTHING, Amount
from lidclock.plan.books import (
    COOKED,
    EATEN,
    FOUND,
    GIVEN,
    MADE,
    MISSING,
    MOVED_IN,
    MOVED_OUT,
    OPENED,
    TAKEN_IN,
    WASTED,
    Posting,
)


@dataclass(slots=True)
class Balance:
    """A period of one food, or of all: what was there, came, went, and is there.

    `causes` divides what was wasted; `frozen` is the part of `closing` that is in a
    freezer. `moved` came in from other containers less what moved out into others:
    for all foods together, what weighing anew made of it.
    """

    food: str = ""
    opening: Amount = NOTHING
    accounts: dict[str, Amount] = field(default_factory=dict)
    causes: dict[str, Amount] = field(default_factory=dict)
    closing: Amount = NOTHING
    frozen: Amount = NOTHING

    def of(self, account: str) -> Amount:
        """What was booked to one account."""
        return self.accounts.get(account, NOTHING)

    def book(self, account: str, amount: Amount) -> None:
        """Add to one account."""
        self.accounts[account] = self.of(account) + amount

    @property
    def moved(self) -> Amount:
        """What splitting and combining brought, less what they took."""
        return self.of(MOVED_IN) - self.of(MOVED_OUT)

    @property
    def came(self) -> Amount:
        """All that was to be accounted for: opening stock and what came in."""
        inward = (MADE, OPENED, TAKEN_IN, FOUND)
        return sum((self.of(one) for one in inward), self.opening + self.moved)

    @property
    def went(self) -> Amount:
        """All that left, wherever it went."""
        outward = (EATEN, COOKED, GIVEN, WASTED, MISSING)
        return sum((self.of(one) for one in outward), NOTHING)

    @property
    def difference(self) -> Amount:
        """What does not add up: nothing, or the books are wrong."""
        return self.came - self.went - self.closing

    @property
    def waste_share(self) -> float | None:
        """The share of the grams that left which was thrown away.

        What went into another batch lives on in it and did not leave; for one food
        alone it did.
        """
        lives_on = NOTHING if self.food else self.of(COOKED)
        return waste_share(
            self.of(WASTED).mass_g,
            opening=self.opening.mass_g,
            made=(self.came - self.opening - lives_on).mass_g,
            closing=self.closing.mass_g,
        )

    def add(self, other: Balance) -> None:
        """Add another food's period to this one."""
        self.opening += other.opening
        self.closing += other.closing
        self.frozen += other.frozen
        for account, amount in other.accounts.items():
            self.book(account, amount)
        for cause, amount in other.causes.items():
            self.causes[cause] = self.causes.get(cause, NOTHING) + amount


def waste_share(
    discarded: float, *, opening: float = 0.0, made: float, closing: float = 0.0
) -> float | None:
    """The share of what left that was thrown away: of opening + made - closing.

    All by mass, in one unit. None where nothing left, so that there is no share.
    """
    left = opening + made - closing
    return discarded / left if left > 0 else None


@dataclass(frozen=True, slots=True)
class Period:
    """From one instant up to, but not including, another."""

    began: datetime
    ended: datetime

    def __contains__(self, at: datetime) -> bool:
        return self.began <= at < self.ended


CauseOf = Callable[[Posting], str]


def balances(
    postings: Iterable[Posting], period: Period, cause_of: CauseOf
) -> dict[str, Balance]:
    """Each food's period, by its casefolded name; foods without any are left out."""
    found: dict[str, Balance] = {}
    stock: dict[str, Amount] = {}
    there: dict[str, Posting] = {}
    lost: dict[str, tuple[Posting, Amount]] = {}
    for one in postings:
        if one.at >= period.ended:
            continue
        code = one.container.code
        stock[code] = stock.get(code, NOTHING) + one.signed
        there[code] = one
        balance = _balance(found, one)
        if one.at < period.began:
            balance.opening += one.signed
        elif one.account in (MISSING, FOUND):
            # What was lost and found again within the period was never away.
            known = lost.get(code, (one, NOTHING))[1]
            lost[code] = (one, known - one.signed)
        else:
            balance.book(one.account, one.amount)
            if one.account == WASTED:
                cause = cause_of(one)
                known = balance.causes.get(cause, NOTHING)
                balance.causes[cause] = known + one.amount
    for one, amount in lost.values():
        is_gone = amount.mass > 0 or amount.unweighed > 0
        balance = _balance(found, one)
        balance.book(MISSING if is_gone else FOUND, amount if is_gone else -amount)
    for code, amount in stock.items():
        balance = _balance(found, there[code])
        balance.closing += amount
        if _is_frozen(there[code], period.ended):
            balance.frozen += amount
    return {food: one for food, one in found.items() if not _is_empty(one)}


@dataclass(slots=True)
class Week:
    """What was thrown away from `began` on, by cause, and all that left, in tenths."""

    began: datetime
    causes: dict[str, Amount] = field(default_factory=dict)
    left: int = 0

    @property
    def wasted(self) -> Amount:
        """All causes together."""
        return sum(self.causes.values(), NOTHING)

    @property
    def share(self) -> float | None:
        """The share of the grams that left which was thrown away."""
        return waste_share(self.wasted.mass, made=self.left)


def weekly(
    postings: Iterable[Posting],
    edges: Sequence[datetime],
    cause_of: CauseOf,
    *,
    is_one_food: bool = False,
) -> list[Week]:
    """What left between each two of `edges`, which ascend."""
    weeks = [Week(began) for began in edges[:-1]]
    leaving = {EATEN, GIVEN, WASTED, *([COOKED] if is_one_food else [])}
    for one in postings:
        number = bisect_right(edges, one.at) - 1
        if one.account not in leaving or not 0 <= number < len(weeks):
            continue
        week = weeks[number]
        week.left += one.amount.mass
        if one.account == WASTED:
            cause = cause_of(one)
            week.causes[cause] = week.causes.get(cause, NOTHING) + one.amount
    return weeks


def _balance(found: dict[str, Balance], one: Posting) -> Balance:
    food = one.container.food
    return found.setdefault(food.casefold(), Balance(food))


def _is_frozen(one: Posting, at: datetime) -> bool:
    states = [x.state for x in one.container.placings if x.at < at]
    return bool(states) and states[-1] == "freezer"


def _is_empty(one: Balance) -> bool:
    amounts = (one.opening, one.closing, *one.accounts.values())
    return all(amount.is_nothing for amount in amounts)


def altogether(foods: Mapping[str, Balance]) -> Balance:
    """All foods as one."""
    whole = Balance()
    for one in foods.values():
        whole.add(one)
    return whole
