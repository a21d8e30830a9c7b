"""Why one seed went badly: what was lost only because proposals were followed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import datetime

from lidclock.domain.moments import last_date, say_short_day
from simulation import limits
from simulation.kitchen import STOCKS, ZONE, Kitchen, script
from simulation.live import Eaten, Life, live
from simulation.policies import MOST, NOTHING


def by_food(ours: Life, theirs: Life) -> Iterator[str]:
    """A row for each food: made, and wasted and still frozen under both."""
    yield (
        "| food | made | wasted, nothing | wasted, proposals | still frozen, nothing "
        "| still frozen, proposals |"
    )
    yield "|---" * 6 + "|"
    counts = [
        _foods(life, some)
        for life, some in (
            (theirs, theirs.made),
            (theirs, theirs.wasted),
            (ours, ours.wasted),
            (theirs, theirs.in_freezer),
            (ours, ours.in_freezer),
        )
    ]
    for name in STOCKS:
        yield f"| {name} | {' | '.join(str(one[name]) for one in counts)} |"
    total = " | ".join(str(one.total()) for one in counts)
    yield f"| all | {total} |"


def _foods(life: Life, portions: Counter[str]) -> Counter[str]:
    found: Counter[str] = Counter()
    for code, number in portions.items():
        found[life.lids[code].stock.name] += number
    return found


def only_ours(ours: Life, theirs: Life) -> Iterator[str]:
    """Makings of which more was lost with proposals, and where it went without."""
    lost, spared = (
        _makings(life, life.wasted + life.in_freezer) for life in (ours, theirs)
    )
    for key, number in (lost - spared).items():
        made_at, name = key
        last = limits.last_moment(name, made_at)
        parts = [_fate(ours, key), _fate(theirs, key)]
        yield (
            f"- {name}, made {_day(made_at)}, last day "
            f"{say_short_day(last_date(last, ZONE))}: {number} more lost. With "
            f"proposals {parts[0]}; with nothing {parts[1]}."
        )
        had = Counter(_instead(ours, key, one) for one in _eaten_of(theirs, key))
        del had[""]
        said = [f"{count} {what}" for what, count in had.most_common()]
        if said:
            yield (
                "  Of those who ate of it with nothing, with proposals "
                f"{', '.join(said)}."
            )


_Key = tuple[datetime, str]


def _key(life: Life, code: str) -> _Key:
    lid = life.lids[code]
    return lid.made_at, lid.stock.name


def _makings(life: Life, portions: Counter[str]) -> Counter[_Key]:
    found: Counter[_Key] = Counter()
    for code, number in sorted(portions.items()):
        found[_key(life, code)] += number
    return found


def _day(at: datetime) -> str:
    return say_short_day(at.astimezone(ZONE).date())


def _eaten_of(life: Life, key: _Key) -> list[Eaten]:
    return [one for one in life.eaten if _key(life, one.code) == key]


def _fate(life: Life, key: _Key) -> str:
    """What became of a making, in portions."""
    eaten = _eaten_of(life, key)
    thawed = sum(one.is_thawed for one in eaten)
    counts = {
        "eaten": len(eaten) - thawed,
        "eaten after freezing": thawed,
        "still in the fridge": _makings(life, life.in_fridge)[key],
        "still frozen": _makings(life, life.in_freezer)[key],
        "wasted": _makings(life, life.wasted)[key],
    }
    full = sum(life.wasted[x] for x in life.no_slot if _key(life, x) == key)
    found = f" ({full} found the freezer full)" if full else ""
    return ", ".join(f"{n} {words}" for words, n in counts.items() if n) + found


def _instead(ours: Life, key: _Key, without: Eaten) -> str:
    """What somebody had with proposals who ate of that making with nothing."""
    meals = {(one.at, one.seat): one for one in ours.eaten}
    had = meals.get((without.at, without.seat))
    if had is None:
        return "found nothing"
    name = ours.lids[had.code].stock.name
    if _key(ours, had.code) == key:
        return ""
    if had.is_planned:
        return f"had {name}, the planned meal"
    return f"had frozen {name}" if had.is_thawed else f"had {name}"


def pair(kitchen: Kitchen, seed: int) -> tuple[Life, Life]:
    """One seed with most proposals accepted, and with nothing."""
    lived = script(kitchen, seed)
    return live(lived, MOST), live(lived, NOTHING)
