"""Proposals to look: what is past, what nobody knows, what nobody reads."""

from __future__ import annotations

import shlex
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import timedelta
from hashlib import blake2b

from lidclock.app.card_facts import Facts
from lidclock.app.stock_take import last_stock_takes
from lidclock.domain.moments import say_moment
from lidclock.domain.phrases import with_commas, with_semicolons
from lidclock.domain.sentences import sentence, sentences
from lidclock.domain.snapshots import Snapshot
from lidclock.plan.proposal import CHECK, DISCARD, Loss, Picked, Proposal

PAST = "past its day"
_WALL = 3
# Four weeks: common practice is a count a month, no source.
COUNT_EVERY = timedelta(days=28)
_TICK = timedelta(microseconds=1)


def _in_order(group: Iterable[Snapshot]) -> list[Snapshot]:
    """Boxes of one batch in the order of their numbers."""
    return sorted(group, key=lambda x: (x.food, x.batch_number or 0, x.index or 0))


def checks(facts: Facts) -> Iterator[Proposal]:
    """What has to be thrown away, and what has to be looked at."""
    yield from _over(facts)
    yield from _unknown(facts)
    yield from _unmarked(facts)
    yield from _missing(facts)
    yield from _places(facts)
    yield from _cooling(facts)
    yield from _stock_takes(facts)


def _over(facts: Facts) -> Iterator[Proposal]:
    """One for each food, since each is thrown away or explained for itself.

    One for all where that would be a wall of them.
    """
    groups: dict[str, list[Snapshot]] = {}
    for one in facts.live.values():
        ended = one.last_moment is not None and one.last_moment <= facts.now
        is_spent = one.standing == "paused" and one.days_left == 0
        if ended or is_spent:
            groups.setdefault(one.food, []).append(one)
    if len(groups) > _WALL:
        yield _discard(facts, _in_order(x for group in groups.values() for x in group))
        return
    for group in groups.values():
        yield _discard(facts, _in_order(group))


def _discard(facts: Facts, group: Sequence[Snapshot]) -> Proposal:
    return Proposal(
        kind=DISCARD,
        key=_key("discard", group),
        says=sentence("discard {names}", names=_names(facts, group)),
        picks=_picks(facts, group),
        loss=_loss(facts, group, is_harm=True),
        why=(
            _was(facts, group),
            sentence("if it was eaten or frozen before that, say so")
            if len(group) == 1
            else sentence("if one was eaten or frozen before that, say so"),
        ),
        hint=f"`lidclock scan {group[0].code} --use --at TIME`",
    )


def _was(facts: Facts, group: Sequence[Snapshot]) -> str:
    """Why it is over: its last day, or that none is left to thaw it."""
    ends = [one.last_moment for one in group if one.last_moment is not None]
    if not ends:
        return sentence("no day is left after thawing")
    first, last = (facts.day(at - _TICK) for at in (min(ends), max(ends)))
    if first == last:
        return sentence("last day: {day}", day=first)
    return sentence("last days: {first} to {last}", first=first, last=last)


def _unknown(facts: Facts) -> Iterator[Proposal]:
    group = _in_order(
        one
        for one in facts.live.values()
        if one.standing == "unknown" and one.place and one.last_moment is None
    )
    if group:
        yield Proposal(
            kind=CHECK,
            key=_key("check/unknown", group),
            says=sentence(
                "find out what is not known of {names}", names=_names(facts, group)
            ),
            picks=_picks(facts, group),
            loss=_loss(facts, group, is_harm=True),
            why=(sentence("no last day can be given"),),
            hint=f"`lidclock show {group[0].code}` says what would settle it",
        )


def _unmarked(facts: Facts) -> Iterator[Proposal]:
    group = _in_order(one for one in facts.live.values() if not one.place)
    if group:
        yield Proposal(
            kind=CHECK,
            key=_key("check/unmarked", group),
            says=sentences(
                "put {count} container somewhere: {names}",
                "put {count} containers somewhere: {names}",
                len(group),
                names=_names(facts, group),
            ),
            picks=_picks(facts, group),
            loss=_loss(facts, group),
            why=(
                sentence(
                    "labelled or filled, and in no place: nobody counts them as stored"
                ),
            ),
        )


def _missing(facts: Facts) -> Iterator[Proposal]:
    group = facts.unit.snapshots.missing()
    if group:
        yield Proposal(
            kind=CHECK,
            key=_key("check/missing", group),
            says=sentences(
                "look for {count} missing: {names}",
                "look for {count} missing: {names}",
                len(group),
                names=with_commas(list(dict.fromkeys(one.food for one in group))),
            ),
            loss=_loss(facts, group),
            why=(sentence("scan one into a place if it turns up"),),
            hint="`lidclock list` names them",
        )


def _places(facts: Facts) -> Iterator[Proposal]:
    """A place that nobody reads any more, and one that is beyond its limit."""
    from lidclock.app.temp_report import temperature_alerts

    for alert in temperature_alerts(facts.session):
        if not alert.is_pressing:
            continue
        name = alert.place.name
        inside = [one for one in facts.live.values() if one.place == name]
        since = say_moment(alert.since, facts.zone)
        yield Proposal(
            kind=CHECK,
            key=f"check/{alert.kind}/{name.casefold()}/{alert.since.isoformat()}",
            says=_PLACE_SAYS[alert.kind](name),
            picks=_picks(facts, inside),
            loss=_loss(facts, inside, is_harm=True),
            why=(_PLACE_WHY[alert.kind](since), _inside(inside)),
            hint=f"`lidclock temp {shlex.quote(name)}`",
        )


_PLACE_SAYS: dict[str, Callable[[str], str]] = {
    "excursion": lambda name: sentence(
        "look at {place}: door, power, move the food?", place=name
    ),
    "silent": lambda name: sentence(
        "read {place}: its thermometer is silent", place=name
    ),
    "disagree": lambda name: sentence("check the thermometers of {place}", place=name),
}
_PLACE_WHY: dict[str, Callable[[str], str]] = {
    "excursion": lambda since: sentence("beyond its limit, since {when}", when=since),
    "silent": lambda since: sentence("no reading, since {when}", when=since),
    "disagree": lambda since: sentence(
        "two of them disagree, since {when}", when=since
    ),
}


def _cooling(facts: Facts) -> Iterator[Proposal]:
    group = facts.unit.snapshots.cooling()
    if group:
        yield Proposal(
            kind=CHECK,
            key=_key("check/cooling", group),
            says=sentence(
                "measure what is cooling: {names}", names=_names(facts, group)
            ),
            loss=_loss(facts, group, is_harm=True),
            why=(sentence("every minute counts"),),
            hint="`lidclock cool list` says what is due and at what hour",
        )


def _stock_takes(facts: Facts) -> Iterator[Proposal]:
    """A freezer that nobody counted for long: there food is forgotten."""
    counted = last_stock_takes(facts.unit)
    for place in facts.session.places:
        inside = [one for one in facts.live.values() if one.place == place.name]
        made = [one.made_at for one in inside if one.made_at is not None]
        if place.state != "freezer" or not made:
            continue
        since = counted.get(place.name.casefold(), min(made))
        times = (facts.now - since) // COUNT_EVERY
        if times < 1:
            continue
        days = (facts.now - since).days
        yield Proposal(
            kind=CHECK,
            key=f"check/stock-take/{place.name.casefold()}/{times}",
            says=sentence("count what is in {place}", place=place.name),
            # A thing that is believed to be there may be gone: not the whole of it.
            loss=Loss(1, facts.choices.worth),
            why=(with_semicolons([_uncounted(days), _inside(inside)]),),
            hint=f"`lidclock stock-take {shlex.quote(place.name)}`",
        )


def _uncounted(days: int) -> str:
    return sentences(
        "nobody counted it for {count} day", "nobody counted it for {count} days", days
    )


def _inside(group: Sequence[Snapshot]) -> str:
    return sentences(
        "in it: {count} container", "in it: {count} containers", len(group)
    )


def _names(facts: Facts, group: Sequence[Snapshot]) -> str:
    return facts.names(one.code for one in group)


def _picks(facts: Facts, group: Sequence[Snapshot]) -> tuple[Picked, ...]:
    return tuple(Picked(one.code, facts.portions(one)) for one in group)


def _loss(facts: Facts, group: Sequence[Snapshot], *, is_harm: bool = False) -> Loss:
    portions = [facts.portions(one) for one in group]
    worth = [facts.choices.worth_of(one.food) for one in group]
    money = sum(n * w for n, w in zip(portions, worth, strict=True))
    return Loss(sum(portions), money, is_harm)


def _key(head: str, group: Sequence[Snapshot]) -> str:
    """Other containers make another proposal."""
    codes = " ".join(sorted(one.code for one in group))
    return f"{head}/{blake2b(codes.encode(), digest_size=6).hexdigest()}"
