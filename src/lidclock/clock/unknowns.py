"""What is not known about a container: what blocks a verdict, what only clouds it."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from lidclock.clock.cooling import knows_earlier_stages
from lidclock.clock.no_figure import no_rule
from lidclock.clock.parts import goes_on
from lidclock.domain.foods import Food
from lidclock.domain.history import Component, History, Stay
from lidclock.domain.moments import say_hours, say_moment
from lidclock.domain.phrases import STATES, short
from lidclock.domain.sentences import sentence
from lidclock.guidance.model import Plan
from lidclock.guidance.sets import GuidanceSet

NO_MAKING_TIME = sentence("making time: not recorded; give it to settle the last day")
OPENED_SINCE = sentence(
    "day limit: its category is that of an unopened pack; correct the food to the "
    "category of an opened one"
)
NO_OPENING_TIME = sentence("opening time: not recorded; give it to settle the last day")
ASSUMED_OPENED = sentence(
    "opening time: not recorded; counted from making, which is earlier"
)
NO_CATEGORY = sentence("category: none is not known; correct the food")
NO_PLACE = sentence("place: not recorded; all time since is counted as counter time")
UNMEASURED = sentence(
    "fridge temperature: no readings; taken as cold, as this kitchen accepts"
)
UNMEASURED_REFUSED = sentence(
    "fridge temperature: no readings, and this kitchen wants them"
)
HOT_REFUSED = sentence("hot hold temperature: no readings, and this kitchen wants them")
REHEAT_REFUSED = sentence(
    "reheating temperature: not measured, and this kitchen wants it"
)
REHEAT_UNMEASURED = sentence("reheating temperature: not measured; taken as hot enough")
REHEAT_TOO_COOL = sentence("reheating: not hot enough to count; counter time goes on")
COOLED_TOO_WARM = sentence("cooling: measured, but not cold yet, so it is not finished")
COOLED_UNMEASURED = sentence("cooling: its end was not measured; taken as cold")
COOLED_REFUSED = sentence(
    "cooling: its end was not measured, and this kitchen wants it"
)
FREEZER_UNMEASURED = sentence("freezer temperature: no readings; taken as frozen")
FREEZER_REFUSED = sentence(
    "freezer temperature: no readings, and this kitchen wants them"
)
NO_STAGE_ONE = sentence("cooling: only its end was recorded, not the stage before")
# Some of the time somebody read it.
_PARTLY_MEASURED = {
    "fridge": sentence(
        "fridge temperature: not read all the time; taken as cold where it was not"
    ),
    "freezer": sentence(
        "freezer temperature: not read all the time; taken as frozen where it was not"
    ),
    "hot": sentence(
        "hot hold temperature: not read all the time; taken as hot enough where it was "
        "not"
    ),
}
HOT_UNMEASURED = sentence("hot hold temperature: no readings; taken as hot enough")
_NEVER_MEASURED = {
    "fridge": UNMEASURED,
    "freezer": FREEZER_UNMEASURED,
    "hot": HOT_UNMEASURED,
}
NO_COOLING_LOG = sentence("cooling: no log, so whether it cooled in time is not known")
ROOM_UNMEASURED = sentence(
    "room temperature: not recorded; above 32 °C less time is allowed"
)


def blockers(
    food: Food,
    history: History,
    plan: Plan,
    guidance: GuidanceSet,
    accepts_unmeasured: bool,
) -> list[str]:
    """Why no last day can be given; empty where one can."""
    reasons = _own_blockers(food, history, plan, guidance)
    if not accepts_unmeasured:
        reasons += _unmeasured_refused(history)
    for part in history.components:
        if goes_on(part, history, plan, guidance) and not _needs_no_mark(
            part, guidance
        ):
            inner = blockers(
                part.food,
                part.history,
                guidance.plan_for(part.food),
                guidance,
                accepts_unmeasured,
            )
            reasons += [_in_it(part, reason) for reason in inner]
    return reasons


def _in_it(part: Component, reason: str) -> str:
    return sentence("{food}, which is in it: {reason}", food=part.name, reason=reason)


def _needs_no_mark(part: Component, guidance: GuidanceSet) -> bool:
    """A part that its guidance frees of a day count brings none into a mixture.

    Food Code 3-501.17(C) asks for the marks of the parts that bear one.
    """
    plan = guidance.plan_for(part.food)
    if plan.dated or plan.category is None or part.food.pack != "air":
        return False
    return bool(plan.exempt) or plan.category.tcs == "no"


def _unmeasured_refused(history: History) -> list[str]:
    """What a kitchen that wants readings does not accept without one."""
    reasons: list[str] = []
    if _unmeasured(history, "fridge"):
        reasons.append(UNMEASURED_REFUSED)
    if _unmeasured(history, "hot"):
        reasons.append(HOT_REFUSED)
    if _unmeasured(history, "freezer"):
        reasons.append(FREEZER_REFUSED)
    if any(temp_c is None for _, temp_c in history.reheatings()):
        reasons.append(REHEAT_REFUSED)
    if any(temp_c is None for _, temp_c in history.coolings):
        reasons.append(COOLED_REFUSED)
    return reasons


def _own_blockers(
    food: Food, history: History, plan: Plan, guidance: GuidanceSet
) -> list[str]:
    if plan.category is None:
        if not food.category:
            return [NO_CATEGORY]
        return [
            sentence(
                "category: {category} is not known; correct the food",
                category=food.category,
            )
        ]
    if all(rule.anchor == "thawed" for rule in plan.dated):
        # A maker's date settles what an exemption leaves open, or what its authority
        # leaves to the pack until that is opened, and nothing else.
        is_left = plan.exempt or (plan.on_pack and history.opened_at is None)
        if is_left and history.maker_use_by is not None:
            return []
        return [no_rule(food, history, plan, guidance)]
    limits = [rule for rule in plan.dated if rule.anchor != "thawed"]
    if history.opened_at is not None and all(rule.until_opened for rule in limits):
        return [OPENED_SINCE]
    if history.made_at is not None:
        return []
    is_pack = food.made_by == "maker"
    if is_pack and all(rule.anchor in ("opened", "begun") for rule in limits):
        return [] if history.opened_at is not None else [NO_OPENING_TIME]
    return [NO_MAKING_TIME]


def missing(
    history: History, plan: Plan, guidance: GuidanceSet, accepts_unmeasured: bool
) -> list[str]:
    """What is not known although a last day may be given."""
    lines = _places_missing(history, plan, accepts_unmeasured)
    lines += _heat_missing(history, plan, guidance.cold_c)
    if history.opened_at is None and history.made_at is not None:
        is_opened = [
            r for r in plan.dated if r.anchor == "opened" and r.kind != "local"
        ]
        if any(rule.made_by == "maker" for rule in is_opened):
            lines.append(ASSUMED_OPENED)
    for part in history.components:
        if accepts_unmeasured and _unmeasured(part.history, "fridge"):
            lines.append(_in_it(part, _unread(part.history, "fridge")))
        if not goes_on(part, history, plan, guidance):
            its = guidance.plan_for(part.food)
            reasons = blockers(part.food, part.history, its, guidance, True)
            lines += [
                sentence(
                    "{food}, which was raw: whether it was over before it was cooked "
                    "is not known ({reason})",
                    food=part.name,
                    reason=reason,
                )
                for reason in reasons
            ]
    return lines


def _places_missing(
    history: History, plan: Plan, accepts_unmeasured: bool
) -> list[str]:
    """Gaps that nobody recorded, and places whose temperature nobody measured."""
    lines: list[str] = [
        _gap(stay, is_first=index == 0)
        for index, stay in enumerate(history.stays)
        if not stay.recorded
    ]
    if accepts_unmeasured:
        lines += [
            _unread(history, state)
            for state in _NEVER_MEASURED
            if _unmeasured(history, state)
        ]
    if _unmeasured(history, "counter") and any(
        (rule.above_c or 0) >= 32 for rule in plan.exposure
    ):
        lines.append(ROOM_UNMEASURED)
    return lines


def _gap(stay: Stay, *, is_first: bool) -> str:
    if stay.ended is None:
        return NO_PLACE
    span = say_hours(stay.ended - stay.began)
    if is_first:
        return sentence(
            "time before the first place: {span} not recorded, counted as counter time",
            span=span,
        )
    return sentence(
        "time while it was missing: {span} not recorded, counted as counter time",
        span=span,
    )


def _heat_missing(history: History, plan: Plan, cold_c: float) -> list[str]:
    """What is not known of reheating and cooling."""
    lines: list[str] = []
    if any(temp_c is None for _, temp_c in history.reheatings()):
        lines.append(REHEAT_UNMEASURED)
    kill_c = max((rule.kill_c or 0.0 for rule in plan.exposure), default=0.0)
    if any(
        temp_c is not None and temp_c < kill_c for _, temp_c in history.reheatings()
    ):
        lines.append(REHEAT_TOO_COOL)
    is_cooked = plan.category is not None and plan.category.is_cooked
    if not is_cooked or history.made_at is None:
        return lines
    cold = [c for _, c in history.coolings if c is None or c <= cold_c]
    if not history.coolings:
        lines.append(NO_COOLING_LOG)
    elif not cold:
        lines.append(COOLED_TOO_WARM)
    elif not knows_earlier_stages(plan, history, cold_c):
        lines.append(NO_STAGE_ONE)
    if any(temp_c is None for temp_c in cold):
        lines.append(COOLED_UNMEASURED)
    return lines


def _unmeasured(history: History, state: str) -> bool:
    """Whether nobody measured some of it; what lasts is silent, which is told apart."""
    return any(
        stay.state == state and stay.temp_c is None and not _lasts_silent(stay)
        for stay in history.stays
    )


def _unread(history: History, state: str) -> str:
    """What to say of a place that nobody measured, or not all the time."""
    is_read = any(
        stay.state == state and (stay.temp_c is not None or stay.is_silent)
        for stay in history.stays
    )
    return (_PARTLY_MEASURED if is_read else _NEVER_MEASURED)[state]


def _lasts_silent(stay: Stay) -> bool:
    return stay.is_silent and stay.ended is None


def is_silent(history: History, now: datetime) -> bool:
    """Whether nobody reads its place any more, though somebody did."""
    last = history.stays[-1:]
    return any(_lasts_silent(stay) and stay.began <= now for stay in last)


def silences(history: History, zone: ZoneInfo, now: datetime) -> list[str]:
    """When nobody read its places though somebody had, and what that counted as."""
    return [
        _silence(stay, zone)
        for stay in history.stays
        if stay.is_silent and stay.began <= now and stay.state != "counter"
    ]


def _silence(stay: Stay, zone: ZoneInfo) -> str:
    place, since = stay.place or STATES[stay.state], say_moment(stay.began, zone)
    taken: str = sentence("taken as cold")
    if stay.temp_c is not None:
        taken = sentence(
            "counted as {temp} °C, the worst that was read beside it",
            temp=short(stay.temp_c),
        )
    elif stay.state == "freezer":
        taken = sentence("taken as frozen")
    if stay.ended is None:
        return sentence(
            "{place}: no reading from {since} on; {taken}",
            place=place,
            since=since,
            taken=taken,
        )
    return sentence(
        "{place}: no reading from {since} to {until}; {taken}",
        place=place,
        since=since,
        until=say_moment(stay.ended, zone),
        taken=taken,
    )
