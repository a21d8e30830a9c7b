"""Why one seed went badly: what was wasted only because proposals were followed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

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
    """Each lid of which more was wasted with proposals, and where it went without."""
    meals = {(one.at, one.seat): one for one in ours.eaten}
    more = ours.wasted - theirs.wasted
    for code in sorted(more, key=lambda x: (ours.lids[x].made_at, x)):
        lid = ours.lids[code]
        made = say_short_day(lid.made_at.astimezone(ZONE).date())
        last = limits.last_moment(lid.stock.name, lid.made_at)
        last_day = say_short_day(last_date(last, ZONE))
        eaten = [one for one in theirs.eaten if one.code == code][-more[code] :]
        went = "; ".join(
            _went(ours, one, meals.get((one.at, one.seat))) for one in eaten
        )
        if not went:
            kept = theirs.in_freezer[code] > 0
            went = (
                "it was frozen and still there" if kept else "it was there at the end"
            )
        yield (
            f"- {lid.stock.name}, {more[code]} of the lid {code}, made {made}, last "
            f"day {last_day}. With nothing {went}."
        )


def _went(ours: Life, without: Eaten, with_us: Eaten | None) -> str:
    """Who ate it without proposals, and what they had with them."""
    day = say_short_day(without.at.astimezone(ZONE).date())
    how = "out of the freezer " if without.is_thawed else ""
    said = f"it was eaten {how}on {day}"
    if with_us is None:
        return f"{said} by somebody who with proposals found nothing"
    name = ours.lids[with_us.code].stock.name
    own = ours.lids[without.code].stock.name
    if with_us.is_planned:
        return f"{said} by somebody who with proposals had {name}, the planned meal"
    if with_us.is_thawed:
        return f"{said} by somebody who with proposals had frozen {name}"
    if name == own:
        return f"{said} by somebody who with proposals had another lid of it"
    return f"{said} by somebody who with proposals had {name}"


def pair(kitchen: Kitchen, seed: int) -> tuple[Life, Life]:
    """One seed with most proposals accepted, and with nothing."""
    lived = script(kitchen, seed)
    return live(lived, MOST), live(lived, NOTHING)
