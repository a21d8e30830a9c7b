"""From folded events to the row a list shows."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from lidclock.clock import judge
from lidclock.clock.verdict import Verdict
from lidclock.domain.containers import Container, Inventory
from lidclock.domain.events import food_subject, place_subject
from lidclock.domain.foods import Food
from lidclock.domain.history import History
from lidclock.domain.moments import last_date, say_day
from lidclock.domain.snapshots import Snapshot
from lidclock.guidance.model import Source

if TYPE_CHECKING:
    from lidclock.app.session import Session


def verdict_of(food: Food, history: History, session: Session) -> Verdict:
    """The verdict on a history now, under the kitchen's guidance."""
    return judge(
        food,
        history,
        session.guidance,
        zone=session.kitchen.zone,
        now=session.now,
        lead=session.kitchen.lead,
        accepts_unmeasured=session.kitchen.accepts_unmeasured,
    )


def snapshot_of(
    inventory: Inventory, container: Container, verdict: Verdict
) -> Snapshot:
    """What lists show of `container` after its latest event."""
    batch = inventory.batches.get(container.batch or "")
    end = container.end
    binding = verdict.binding
    source = source_of(verdict)
    is_known = verdict.standing in ("dated", "paused")
    food = inventory.food_of(container)
    return Snapshot(
        code=container.code,
        food=food.name,
        standing=verdict.standing,
        batch_number=batch.number if batch else None,
        batch_id=container.batch,
        index=container.index,
        of=container.of,
        lot=container.lot,
        place=container.place,
        state=container.state,
        mass_g=container.mass_g,
        made_at=container.made_at,
        opened_at=container.opened_at,
        last_moment=verdict.limits[0].over_at if verdict.limits else None,
        last_day=standing_day(verdict),
        best_by=verdict.best_by,
        days_left=verdict.carried_days,
        binding=binding.id if binding else "",
        is_house_rule=verdict.is_house_rule,
        is_unverified=source is not None
        and source.grade != "kitchen"
        and not source.verified,
        has_hour=binding is not None and binding.includes_moment,
        is_labelled=is_label_right(inventory, container, verdict),
        is_unmarked=end is None and not (container.is_placed and is_known),
        end_kind=end.kind if end else "",
        end_reason=end.reason if end else "",
        ended_at=end.at if end else None,
        subjects=subjects_of(inventory, container) + _places_of(container),
        approval=approval_words(verdict),
        cooling_since=container.cooling_since,
        ready_at=container.ready_at,
    )


def source_of(verdict: Verdict) -> Source | None:
    """Where the figure that counts comes from: while paused, the tightest count's."""
    if verdict.binding is not None:
        return verdict.binding.rule.source
    counted = [limit for limit in verdict.limits if limit.days_left is not None]
    if not counted:
        return None
    return min(counted, key=lambda limit: limit.days_left or 0).rule.source


def approval_words(verdict: Verdict) -> str:
    """`approved by AUTHORITY, 2 Nov 2026`, where a limit is longer than its set's.

    Also where the kitchen's own count binds: without the approval it would not.
    """
    rules = (limit.rule for limit in verdict.limits)
    approval = next((rule.approval for rule in rules if rule.approval), None)
    if approval is None:
        return ""
    return f"approved by {approval.authority}, {say_day(approval.on)}"


def standing_day(verdict: Verdict) -> date | None:
    """The last day that lists and labels show: none while paused or unknown.

    Unlike the verdict's own, it does not change by itself when a date passes.
    """
    if verdict.standing not in ("dated", "ended") or verdict.binding is None:
        return None
    over_at = verdict.binding.over_at
    return last_date(over_at, verdict.zone) if over_at else None


def label_kind(container: Container, food: Food, verdict: Verdict) -> str:
    """Which kind of label says how the container stands: labels/kind has them all."""
    if verdict.standing == "paused":
        return "freezer"
    binding = verdict.binding
    if binding is None or standing_day(verdict) is None:
        return "no-date"
    if binding.includes_moment and container.state in ("counter", "hot"):
        return "hour"
    if container.state == "hot":
        return "hot"
    if container.opened_at is not None and food.made_by == "maker":
        return "opened"
    was_frozen = any(placing.state == "freezer" for placing in container.placings)
    return "thaw" if was_frozen else "fridge"


# The dates alone tell the other kinds from each other.
_SAYS_ITSELF = frozenset({"freezer", "opened", "no-date"})


def is_label_right(
    inventory: Inventory, container: Container, verdict: Verdict
) -> bool:
    """Whether its lid bears a label, and the label still says how it stands."""
    return (
        container.printed is not None
        and are_dates_right(inventory, container, verdict)
        and are_allergens_right(inventory, container)
    )


def are_dates_right(
    inventory: Inventory, container: Container, verdict: Verdict
) -> bool:
    """Whether the label on its lid has the dates that hold now, if it has a label.

    A lid that was labelled before it was put away is taken at its word until then.
    """
    printed = container.printed
    if printed is None or "last_day" not in printed or not container.is_placed:
        return True
    if not printed_dates(verdict).items() <= dict(printed).items():
        return False
    food = inventory.food_of(container)
    told, due = printed.get("kind", ""), label_kind(container, food, verdict)
    return told in ("", due) or not {told, due} & _SAYS_ITSELF


def are_allergens_right(inventory: Inventory, container: Container) -> bool:
    """Whether the label has the allergens of all that is in it by now, if it has any.

    What labels of earlier versions said of allergens was not recorded: nothing is told.
    """
    printed = container.printed
    if printed is None or "allergens" not in printed:
        return True
    return printed_allergens(inventory, container).items() <= dict(printed).items()


def printed_allergens(inventory: Inventory, container: Container) -> dict[str, Any]:
    """What a label printed now says of allergens, and whether any may be missing."""
    return {
        "allergens": sorted(inventory.known_allergens_of(container)),
        "allergens_whole": inventory.allergens_of(container) is not None,
    }


def printed_dates(verdict: Verdict) -> dict[str, str | None]:
    """What a label printed now says: the day, and the moment if an hour binds."""
    day, binding = standing_day(verdict), verdict.binding
    dates = {"last_day": day.isoformat() if day else None}
    if day is not None and binding and binding.includes_moment and binding.last_moment:
        dates["last_moment"] = binding.last_moment.isoformat()
    return dates


def subjects_of(inventory: Inventory, container: Container) -> tuple[str, ...]:
    """Every subject whose events decide how `container` stands."""
    found: dict[str, None] = {}
    waiting = [container.code]
    while waiting:
        code = waiting.pop()
        if code in found:
            continue
        found[code] = None
        part = inventory.containers.get(code)
        if part is None:
            continue
        found[food_subject(part.food)] = None
        if part.batch:
            found[part.batch] = None
        waiting += [*part.components, *([part.parent] if part.parent else [])]
    return tuple(sorted(found))


def _places_of(container: Container) -> tuple[str, ...]:
    """The subjects of the places it was in: their readings are charged to it."""
    names = {one.place for one in container.placings if one.place}
    return tuple(sorted(place_subject(name) for name in names))


def links_of(inventory: Inventory) -> set[str]:
    """Subjects that the folded containers refer to."""
    linked: set[str] = set()
    for container in inventory.containers.values():
        linked |= set(subjects_of(inventory, container))
    for batch in inventory.batches.values():
        linked |= {food_subject(batch.food), *batch.components}
    return linked
