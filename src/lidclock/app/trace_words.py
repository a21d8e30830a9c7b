"""A trace in words: what each batch, pack and container is, and what nobody recorded.

Rows of which the same is said are one row with several codes.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime

from lidclock.app.end_words import end_with_reason
from lidclock.app.list_words import JOIN
from lidclock.app.trace import BATCH, PACK, UNKNOWN, Part, Traced
from lidclock.domain.codes import spaced
from lidclock.domain.kitchens import Kitchen
from lidclock.domain.masses import say_mass
from lidclock.domain.moments import say_day, say_moment
from lidclock.domain.phrases import with_commas
from lidclock.domain.sentences import (
    figure,
    joined,
    sentence,
    sentences,
    strung,
    typed,
)
from lidclock.trace.graph import COMBINED, FILLED, MIXED, Link

# More codes than these go into a further row, so that a row fits on a page.
MOST_CODES = 40
_NOTHING_WENT_IN = sentence("what went into it: not recorded")


@dataclass(frozen=True, slots=True)
class Told:
    """One row: what it is, its codes, and what is recorded of it."""

    main: str
    codes: tuple[str, ...] = ()
    details: tuple[str, ...] = ()


class Words:
    """Says the parts of one trace, in the kitchen's units and on its clock."""

    def __init__(self, found: Traced, kitchen: Kitchen) -> None:
        self.found = found
        self._zone, self._units = kitchen.zone, kitchen.units

    def rows(self, parts: Iterable[tuple[Part, tuple[Link, ...]]]) -> tuple[Told, ...]:
        """Each part with the links that led to it."""
        return tuple(_merged(self.row(part, links) for part, links in parts))

    def row(self, part: Part, links: tuple[Link, ...] = ()) -> Told:
        """One part; `links` are those to what was asked about."""
        if part.kind == UNKNOWN:
            details = self._links(part, links)
            return Told(sentence("not recorded here: {key}", key=part.key), (), details)
        if part.kind == BATCH:
            name = sentence(
                "batch {number}: {food}",
                number=figure(part.number or 0),
                food=_food(part),
            )
            return Told(name, (), (*self._batch(part), *self._links(part, links)))
        facts = self._pack(part) if part.kind == PACK else self._container(part)
        details = (*facts, *self._links(part, links), *self._amounts(part))
        return Told(_food(part), (part.key,), (*details, *self._whereabouts(part)))

    def _batch(self, part: Part) -> Iterator[str]:
        made: str = sentence("made {when}", when=self._when(part.made_at))
        if part.by:
            made = sentence("{did} by {who}", did=made, who=part.by)
        else:
            made = strung(JOIN, (made, sentence("by whom: not recorded")))
        count = part.of or 0
        boxes = sentences("{count} container", "{count} containers", count)
        grams = "" if part.filled_g is None else self._mass(part.filled_g)
        yield strung(JOIN, (made, boxes if count else "", grams))
        lot = sentence("lot {lot}", lot=part.lot) if part.lot else ""
        recipe = sentence("by the recipe {recipe}", recipe=part.recipe)
        if lot or part.recipe:
            yield strung(JOIN, (lot, recipe if part.recipe else ""))
        if not part.knows_inputs:
            yield _NOTHING_WENT_IN
        for name in self.found.recipe_inputs.get(part.key, ()):
            yield sentence("{input}: which of it went in is not recorded", input=name)

    def _pack(self, part: Part) -> Iterator[str]:
        """Whose it is and which, then its dates; each said to be unknown if it is."""
        maker = sentence("maker: not recorded")
        if part.maker:
            maker = sentence("maker: {maker}", maker=part.maker)
        gtin = sentence("GTIN {number}", number=part.gtin) if part.gtin else ""
        lot = sentence("lot: not recorded")
        if part.lot:
            lot = sentence("lot {lot}", lot=part.lot)
        yield strung(JOIN, (lot, maker, gtin))
        day = sentence("maker's date: not recorded")
        if part.maker_use_by is not None:
            day = sentence("maker's date: {day}", day=say_day(part.maker_use_by))
        opened = sentence("opening: not recorded")
        if part.opened_at is not None:
            opened = sentence("opened {when}", when=self._when(part.opened_at))
        if part.by and part.opened_at is not None:
            opened = sentence("{did} by {who}", did=opened, who=part.by)
        yield strung(JOIN, (day, opened))

    def _container(self, part: Part) -> Iterator[str]:
        batch = made = ""
        if part.number is not None:
            batch = sentence("batch {number}", number=figure(part.number))
        if part.made_at is not None:
            made = sentence("made {when}", when=self._when(part.made_at))
        elif part.opened_at is None:
            made = sentence("making time not recorded")
        lot = sentence("lot {lot}", lot=part.lot) if part.lot else ""
        yield strung(JOIN, (batch, made, lot))
        if not part.knows_inputs:
            yield _NOTHING_WENT_IN

    def _amounts(self, part: Part) -> Iterator[str]:
        """What it held and what became of that, where somebody weighed it."""
        if part.filled_g is None:
            yield sentence("how much it held: not recorded")
            return
        told: list[str] = [sentence("held {mass}", mass=self._mass(part.filled_g))]
        if part.onward_g:
            told.append(
                sentence("{mass} into other food", mass=self._mass(part.onward_g))
            )
        if part.elsewhere_g:
            taken = self._mass(part.elsewhere_g)
            told.append(sentence("{mass} taken, into what is not recorded", mass=taken))
        yield strung(JOIN, (*told, self._left(part)))

    def _left(self, part: Part) -> str:
        """What is in it or was at its end; at most that, if a share was not weighed."""
        is_poured = part.end is not None and part.end.kind == COMBINED
        if part.left_g is None or is_poured or not (part.is_live or part.left_g):
            return ""
        left = self._mass(part.left_g)
        if not part.is_live:
            return sentence("{mass} in it at its end", mass=left)
        if part.has_unweighed:
            return sentence("at most {mass} left", mass=left)
        return sentence("{mass} left", mass=left)

    def _whereabouts(self, part: Part) -> Iterator[str]:
        """Where it is now, or how it ended, when, and by whom."""
        if part.end is None:
            where = part.place or sentence("in no recorded place")
            yield sentence("now: {place}", place=where)
        else:
            ended = sentence(
                "{end}, {when}",
                end=end_with_reason(part.end.kind, part.end.reason),
                when=self._when(part.end.at),
            )
            by = part.ended_by
            yield sentence("{did} by {who}", did=ended, who=by) if by else ended
        if part.key in self.found.labels:
            yield self.found.labels[part.key]

    def _links(self, part: Part, links: tuple[Link, ...]) -> tuple[str, ...]:
        return tuple(filter(None, (self._link(part, link) for link in links)))

    def _link(self, part: Part, link: Link) -> str:
        """How much of this is in what was asked about, or of that in this.

        Filling goes without saying: the batch stands beside its containers.
        """
        if link.how == FILLED:
            return ""
        is_back = link.source == part.key
        other = self._name(link.target if is_back else link.source)
        amount: str = sentence("how much is not recorded")
        if link.mass_g is not None:
            amount = self._mass(link.mass_g)
        known = {"other": other, "amount": amount}
        if link.how == MIXED:
            if is_back:
                return sentence("went into {other}: {amount}", **known)
            return sentence("{other} went in: {amount}", **known)
        if link.how == COMBINED:
            if is_back:
                return sentence("combined into {other}: {amount}", **known)
            return sentence("combined from {other}: {amount}", **known)
        if is_back:
            return sentence("split into {other}: {amount}", **known)
        return sentence("split from {other}: {amount}", **known)

    def _name(self, key: str) -> str:
        """`batch 4 (salad)`, `4F7 K2M0 (beans)`."""
        part = self.found.part(key)
        if part.kind == UNKNOWN:
            return typed(key)
        if part.kind == BATCH:
            number = figure(part.number or 0)
            return sentence("batch {number} ({food})", number=number, food=_food(part))
        return joined("{code} ({food})", code=spaced(key), food=_food(part))

    def _when(self, at: datetime | None) -> str:
        return say_moment(at, self._zone) if at else sentence("at an unknown time")

    def _mass(self, grams: float) -> str:
        return say_mass(grams, self._units)


def label_rows(words: Words) -> tuple[Told, ...]:
    """The live lids of which the label no longer holds, and why."""
    parts = {code: words.found.part(code) for code in words.found.labels}
    in_order = sorted(parts, key=lambda code: (parts[code].food.casefold(), code))
    rows = (Told(_food(parts[x]), (x,), (words.found.labels[x],)) for x in in_order)
    return tuple(_merged(rows))


def unknown_rows(words: Words, parts: Iterable[Part]) -> tuple[Told, ...]:
    """Each gap once more, together: what has to be asked of people instead."""
    rows = []
    for part in parts:
        gaps = list(_gaps(part, words.found))
        if gaps:
            row = words.row(part)
            rows.append(replace(row, details=(with_commas(gaps),)))
    return tuple(_merged(rows))


def _gaps(part: Part, found: Traced) -> Iterator[str]:
    if part.kind == UNKNOWN:
        yield sentence("everything about it")
        return
    if not part.knows_inputs:
        yield sentence("what went into it")
    yield from (
        sentence("which {input} went in", input=name)
        for name in found.recipe_inputs.get(part.key, ())
    )
    if part.kind == PACK and not part.lot:
        yield sentence("its lot")
    if part.kind == PACK and not part.maker and not part.gtin:
        yield sentence("its maker")
    if part.kind == PACK and part.maker_use_by is None:
        yield sentence("its maker's date")
    if part.has_unweighed:
        yield sentence("how much of it went in")


def _merged(rows: Iterable[Told]) -> Iterator[Told]:
    groups: dict[tuple[str, tuple[str, ...]], list[str]] = {}
    for row in rows:
        groups.setdefault((row.main, row.details), []).extend(row.codes)
    for (main, details), codes in groups.items():
        if len(codes) < 2:
            yield Told(main, tuple(codes), details)
            continue
        for start in range(0, len(codes), MOST_CODES):
            some = tuple(codes[start : start + MOST_CODES])
            count = figure(len(some))
            name = joined("{food} x{count}", food=main, count=count)
            yield Told(name, some, details)


def _food(part: Part) -> str:
    return typed(part.food) if part.food else sentence("unknown food")
