"""What each place is held to under the guidance in force, and whose word that is."""

from __future__ import annotations

from collections.abc import Iterator

from lidclock.domain.history import MELTING_C
from lidclock.domain.kitchens import Place
from lidclock.domain.sentences import sentence
from lidclock.guidance.model import Source
from lidclock.guidance.sets import GuidanceSet
from lidclock.guidance.target import Target
from lidclock.guidance.targets import labels, load_targets
from lidclock.templog.limits import PlaceLimit, exact_c

_THAWS = sentence(
    "ice melts there and food counts as thawed; this guidance gives no figure"
)
# A target and a rule of one authority may be rounded from °F each in its own way.
_ROUNDING_C = 0.25


def limit_of(place: Place, guidance: GuidanceSet) -> PlaceLimit | None:
    """The limit of a place; None for a counter, which is held to nothing.

    A freezer is held to what the set's targets say of frozen food; where they say
    nothing, to the melting point of ice.
    """
    if place.state == "fridge":
        return _limit(guidance, guidance.cold_c, "fridge", is_floor=False)
    if place.state == "freezer":
        found = [one for one in _holding(guidance) if "freezer" in one.words]
        if not found:
            return PlaceLimit(MELTING_C, says=_THAWS)
        return PlaceLimit(_end(found[0]), says=found[0].says, source=_words(found[0]))
    if place.state == "hot":
        kept = [one.below_c for one in guidance.rules if one.kind == "exposure"]
        known = [below_c for below_c in kept if below_c is not None]
        return _limit(guidance, max(known), "hot", is_floor=True) if known else None
    return None


def _limit(
    guidance: GuidanceSet, limit_c: float, word: str, *, is_floor: bool
) -> PlaceLimit:
    """A limit of the set, with the target that says the same where there is one."""
    for one in _holding(guidance):
        if word in one.words and abs(_end(one) - limit_c) <= _ROUNDING_C:
            return PlaceLimit(exact_c(limit_c), is_floor, one.says, _words(one))
    says = sentence("the cold limit of {set}", set=guidance.title)
    if is_floor:
        says = sentence("the hot limit of {set}", set=guidance.title)
    return PlaceLimit(exact_c(limit_c), is_floor, says, guidance.authority)


def _holding(guidance: GuidanceSet) -> Iterator[Target]:
    """The set's own targets for holding that give a temperature; a variant's base."""
    own = [
        name
        for name in labels()
        if guidance.id == name or guidance.id.startswith(f"{name}-")
    ]
    for one in load_targets():
        if one.topic == "holding" and one.set in own and one.figure("temp_c"):
            yield one


def _end(target: Target) -> float:
    """The figure's limit: of a range the warm end."""
    figure = target.figure("temp_c")
    assert figure is not None
    return figure.ends[-1]


def _words(target: Target) -> str:
    """Authority, document, section, year, and `unverified` where it is."""
    source: Source = target.source
    section = "" if target.section == "-" else target.section
    checked = "" if source.verified else "unverified"
    parts = [source.authority, source.document, section, source.year, checked]
    return ", ".join(part for part in parts if part)
