"""How `report waste` looks: a card a cook can read, and the same as data."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from lidclock.cli.show import plural
from lidclock.domain.masses import GRAMS, say_mass
from lidclock.domain.moments import say_day, say_short_day

if TYPE_CHECKING:
    from lidclock.app.session import Session
    from lidclock.app.waste import WasteReport
    from lidclock.app.waste_values import Amount

_GAP = "  "
_SUM = "together"
_CAME = (("made", "made"), ("opened", "packs opened"), ("taken in", "taken in"))
_CAME_BACK = (("found", "found again"),)
_WENT = (
    *(("eaten", "eaten"), ("cooked", "went into other batches")),
    *(("given", "handed on"), ("wasted", "wasted"), ("missing", "missing")),
)
# Columns of words; all others are figures.
_WORDS = (0, 5)
_FOOD_COLUMNS = (
    *("start", "came in", "eaten", "cooked", "given", "wasted", "missing"),
    *("there", "frozen"),
)
_ALWAYS = ("made", "eaten", "wasted")


def report_lines(found: WasteReport, session: Session) -> list[str]:
    """The card: the balance, the waste by cause, the foods, how it went."""
    card = _Card(found, session)
    days = (found.last_on - found.first_on).days + 1
    name = found.whole.food or session.kitchen.name
    span = f"{say_day(found.first_on)} to {say_day(found.last_on)}"
    lines = [f"{name}, {span} ({plural(days, 'day')})"]
    if not found.foods:
        return [*lines, "", "nothing was made, opened or there in this time"]
    blocks = [card.balance(), card.wasted(), card.by_food(), card.taken(), card.notes()]
    for block in blocks:
        lines += ["", *block] if block else []
    return lines


class _Card:
    """The blocks of one report; columns that are empty everywhere are left out."""

    def __init__(self, found: WasteReport, session: Session) -> None:
        self.found, self.session = found, session
        amounts = [found.whole.came, found.whole.went, found.whole.closing]
        self.has_money = any(one.money for one in amounts)

    def _mass(self, amount: Amount) -> str:
        """Grams; a figure below zero with its sign in front."""
        sign = "-" if amount.mass < 0 else ""
        return sign + say_mass(abs(amount.mass_g), self.session.kitchen.units)

    def _money(self, amount: Amount) -> str:
        """Money; a question mark for portions that nobody priced, never nought."""
        if not self.has_money:
            return ""
        if amount.unpriced and not amount.money:
            return "?"
        return f"{amount.money / 100:.2f}{' + ?' if amount.unpriced else ''}"

    def _row(self, word: str, amount: Amount, note: str = "") -> list[str]:
        unweighed = amount.unweighed
        return [
            word,
            self._mass(amount),
            _portions(amount),
            self._money(amount),
            f"{unweighed} not weighed" if unweighed else "",
            note,
        ]

    def balance(self) -> list[str]:
        """What was there and came in, and where it went: both add up."""
        whole = self.found.whole
        rows = [self._row(f"there on {self._first}", whole.opening)]
        rows += self._accounts(_CAME) + self._accounts(_CAME_BACK)
        if not whole.moved.is_nothing:
            rows.append(self._row(self._moved_words, whole.moved))
        rows.append(self._row(_SUM, whole.came))
        closing, frozen = whole.closing, whole.frozen
        note = "" if frozen.is_nothing else f"of it frozen {self._both(frozen)}"
        rows += [*self._accounts(_WENT), self._row("still there", closing, note)]
        rows.append(self._row(_SUM, whole.went + closing))
        lines = _table([self._head(""), *rows])
        first_sum = [row[0] for row in rows].index(_SUM) + 2
        return [*lines[:first_sum], "", *lines[first_sum:]]

    def _head(self, title: str) -> list[str]:
        return [title, "mass", "portions", self._money_word, "", ""]

    @property
    def _first(self) -> str:
        return say_short_day(self.found.first_on)

    @property
    def _moved_words(self) -> str:
        is_one = bool(self.found.whole.food)
        return "from or into other containers" if is_one else "weighed anew"

    @property
    def _money_word(self) -> str:
        return (self.found.money or "money") if self.has_money else ""

    def _accounts(self, named: Sequence[tuple[str, str]]) -> list[list[str]]:
        whole = self.found.whole
        return [
            self._row(word, whole.of(account))
            for account, word in named
            if account in _ALWAYS or not whole.of(account).is_nothing
        ]

    def _both(self, amount: Amount) -> str:
        return f"{self._mass(amount)}, {_plural_portions(amount)}"

    def wasted(self) -> list[str]:
        """What was thrown away, by cause, the most first."""
        whole = self.found.whole
        wasted, share = whole.of("wasted"), whole.waste_share
        if wasted.is_nothing:
            return ["Nothing was wasted."]
        said = f", {share:.1%} of what left" if share is not None else ""
        causes = sorted(
            whole.causes.items(), key=lambda one: (-one[1].mass, -one[1].portions)
        )
        rows = [self._row(f"  {cause}", amount) for cause, amount in causes]
        return _table([self._head(f"Wasted{said}"), *rows])

    def by_food(self) -> list[str]:
        """One line a food: in grams, in portions, and in money where some is known."""
        if len(self.found.foods) < 2:
            return []
        is_us = self.session.kitchen.units == "us"
        tables = [self._foods("ounces" if is_us else "grams", self._size)]
        tables.append(self._foods("portions", _portions))
        if self.has_money:
            tables.append(self._foods(self._money_word, self._money))
        return [line for table in tables for line in ["", *table]][1:]

    def _foods(self, unit: str, say: Callable[[Amount], str]) -> list[str]:
        rows = [[f"By food, {unit}", *_FOOD_COLUMNS, "waste"]]
        for one in self.found.foods:
            share = one.waste_share if say == self._size else None
            came = one.came - one.opening
            gone = [one.of(account) for account, _ in _WENT]
            cells = [one.opening, came, *gone, one.closing, one.frozen]
            percent = f"{share:.0%}" if share else ""
            told = ["" if cell.is_nothing else say(cell) for cell in cells]
            rows.append([_short(one.food), *told, percent])
        return _table(_kept(rows), words=(0,))

    def _size(self, amount: Amount) -> str:
        """Grams or ounces, and containers nobody weighed."""
        is_us = self.session.kitchen.units == "us"
        size = amount.mass_g / float(GRAMS["oz"]) if is_us else amount.mass_g
        parts = [_tenths(size)] if amount.mass else []
        if amount.unweighed:
            parts.append(f"{amount.unweighed} n.w.")
        return " + ".join(parts)

    def taken(self) -> list[str]:
        """How the containers were taken."""
        said = self.found.measures
        rows = []
        if said.picks:
            share = f"{said.out_of_order / said.picks:.0%}"
            rows.append(
                ["taken out of order", _of(said.out_of_order, said.picks), share]
            )
        if said.used:
            share = f"{said.in_time / said.used:.0%}"
            rows.append(["used in time", _of(said.in_time, said.used), share])
        for word, count in (
            ("used after the last moment", said.over),
            ("used, last moment not known", said.not_known),
            ("marked late: in time, written down after", said.marked_late),
            ("saved on the last day", said.late_saves),
        ):
            rows += [[word, str(count), ""]] if count else []
        if said.age_at_use is not None:
            rows.append(["age when used, median", _days(said.age_at_use), ""])
        if said.left_when_frozen is not None:
            left = f"{_days(said.left_when_frozen)} left"
            rows.append(["frozen, median", left, plural(said.frozen, "container")])
        if not rows:
            return []
        return [
            "How containers were taken:",
            *_left([[f"  {a}", b, c] for a, b, c in rows]),
        ]

    def notes(self) -> list[str]:
        """What the figures leave out, and where the money comes from."""
        whole, found = self.found.whole, self.found
        notes = []
        if not whole.difference.is_nothing:
            notes.append("these books do not add up: please report it")
        both = whole.came
        if both.unweighed or whole.went.unweighed or whole.closing.unweighed:
            notes.append("n.w.: containers that nobody weighed; no gram here is theirs")
        if found.unfilled > 0:
            mass = say_mass(found.unfilled / 10, self.session.kitchen.units)
            notes.append(f"{mass} of the batches made went into no container")
        if both.unpriced:
            notes.append(self._unpriced(both))
        notes += self._sources() if self.has_money else []
        return [*notes, *found.problems]

    def _unpriced(self, came: Amount) -> str:
        if not self.has_money:
            return "money: not known; no food has a worth, and no recipe its prices"
        known = (came.portions - came.unpriced) / 10
        of = f"{_tenths(known)} of {_portions(came)} portions"
        return f"money: of {of}; of the rest it is not known (?)"

    def _sources(self) -> list[str]:
        """Which foods' money comes from where."""
        by_source: dict[str, list[str]] = {}
        for one in self.found.foods:
            for source in self.found.sources.get(one.food.casefold(), ()):
                by_source.setdefault(source, []).append(one.food)
        return [f"money by {x}: {', '.join(foods)}" for x, foods in by_source.items()]


def _of(part: int, whole: int) -> str:
    return f"{part} of {whole}"


def _days(count: float) -> str:
    return f"{count:g} day{'' if count == 1 else 's'}"


def _portions(amount: Amount) -> str:
    return _tenths(amount.portion_count)


def _plural_portions(amount: Amount) -> str:
    """`1 portion`, `2.5 portions`."""
    said = _portions(amount)
    return f"{said} portion{'' if said == '1' else 's'}"


def _tenths(figure: float) -> str:
    return f"{figure:.1f}".removesuffix(".0")


_LONGEST_NAME = 24


def _short(name: str) -> str:
    return name if len(name) <= _LONGEST_NAME else f"{name[: _LONGEST_NAME - 1]}…"


def _kept(rows: list[list[str]]) -> list[list[str]]:
    """The rows without columns that are empty beneath their heading."""
    kept = [
        number for number in range(len(rows[0])) if any(row[number] for row in rows[1:])
    ]
    return [[row[number] for number in kept] for row in rows]


def _left(rows: list[list[str]]) -> list[str]:
    widths = [max(map(len, cells)) for cells in zip(*rows, strict=True)]
    return [
        _GAP.join(cell.ljust(w) for cell, w in zip(row, widths, strict=True)).rstrip()
        for row in rows
    ]


def _table(rows: list[list[str]], words: Sequence[int] = _WORDS) -> list[str]:
    """Words at the left, figures flush at the right; empty columns are left out."""
    widths = [max(map(len, cells)) for cells in zip(*rows, strict=True)]
    lines = []
    for row in rows:
        cells = [
            cell.ljust(width) if number in words else cell.rjust(width)
            for number, (cell, width) in enumerate(zip(row, widths, strict=True))
            if width
        ]
        lines.append(_GAP.join(cells).rstrip())
    return lines
