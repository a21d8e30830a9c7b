"""What grew, by one law and one history: exposure, a band, and how far to trust it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from lidclock.kinetics.exposure import Exposure
from lidclock.kinetics.factors import Factors
from lidclock.kinetics.held import Held
from lidclock.kinetics.organisms import UNVERIFIED, Organism, Range, Source
from lidclock.kinetics.parameters import parameters_of
from lidclock.kinetics.primary import growth_ln
from lidclock.kinetics.rates import Floats, RateLaw

LN10 = math.log(10.0)
# Rates of one food and flora read in another: half to double. Our choice, from accuracy
# factors of 1.1 to 1.4 within a food and about 2 between foods (docs/growth.md).
SLOW, QUICK = 0.5, 2.0
# What was once so hot cools or is kept hot; vegetative cells stop growing near it.
HOT_C = 50.0

ADVICE = (
    "A prediction from laboratory figures, to warn earlier: it is no limit, moves no "
    "date and permits nothing. Go by the guidance set in force."
)
HIGH = "Act on the high figure; the low one is no permission."
FOOD_TEMPERATURE = (
    "The temperatures are taken as the food's own, straight between the points."
)
SPORES = (
    "Spores: a cool is judged by the stages of the guidance set, never by this figure, "
    "which knows nothing of germination."
)
LAG = (
    "A lag was credited because h0 was given; a change of temperature can end it early."
)
CEILING = "A largest number was credited because max_log10 was given."
OF_KIND = {
    "spoilage": "Spoilage only: it says nothing of illness.",
    "culture": "A wanted culture: it says nothing of illness.",
    "generic": "Not an organism: a private author's reading of times in the Food Code.",
}
GIVEN = Source(
    "given",
    authority="",
    document="parameters given in the question",
    section="",
    year="",
    url="",
    status=UNVERIFIED,
    seen="not checked",
)


@dataclass(frozen=True, slots=True)
class Band:
    """A low, a middle and a high figure, in that order."""

    low: float
    mid: float
    high: float

    def plus(self, start: float) -> Band:
        """The band counted from a start."""
        return Band(start + self.low, start + self.mid, start + self.high)


@dataclass(frozen=True, slots=True)
class Conditions:
    """What is known of the food and its flora; None and 0 credit nothing.

    h0 in ln units, the numbers as decimal logarithms.
    """

    ph: float | None = None
    aw: float | None = None
    h0: float = 0.0
    start_log10: float | None = None
    max_log10: float | None = None

    @property
    def room_ln(self) -> float:
        """How far the number can rise  [ln units]; infinite without a ceiling."""
        if self.start_log10 is None or self.max_log10 is None:
            return math.inf
        return (self.max_log10 - self.start_log10) * LN10


@dataclass(frozen=True, slots=True)
class Prediction:
    """What one law makes of one history.

    `exposure` is the integral of the rate, of the law as it stands; `increase` and
    `end` count decimal logarithms. The high edge doubles the rate and gives no credit
    for heat above the optimum.
    """

    organism: Organism
    exposure: float
    increase: Band
    end: Band | None
    doublings: float
    hours: float
    is_within: bool | None
    validity: str
    cautions: tuple[str, ...]


def given(law: RateLaw, factors: Factors) -> Organism:
    """A law whose parameters somebody gave, wrapped as if it were an organism."""
    return Organism(
        id="parameters",
        name="parameters given in the question",
        kind="given",
        law=law,
        parameters=parameters_of(law),
        source=GIVEN,
        says="",
        lag="none",
        valid_c=(law.tmin_c, law.tmax_c),
        factors=factors,
        ph_source=GIVEN,
        aw_source=GIVEN,
    )


def predict(
    times_h: Floats, temps_c: Floats, organism: Organism, under: Conditions
) -> Prediction:
    """What the organism makes of a history of the food's temperature.

    Parameters
    ----------
    times_h : (n,) strictly rising, n >= 2  [h]
    temps_c : (n,) linear between the points  [°C]
    organism : the law, its range and its source
    under : what is known of the food

    Raises
    ------
    ValueError
        As `Exposure` does.
    """
    factor, notes = factor_of(organism, under)
    exposure = Exposure(times_h, temps_c, organism.law).total * factor
    worst = Exposure(times_h, temps_c, Held(organism.law)).total * factor
    low, mid, high = (
        float(growth_ln(one, under.h0, under.room_ln)) / LN10
        for one in (exposure * SLOW, exposure, max(worst, exposure) * QUICK)
    )
    # At a ceiling the last digit may fall where it should stand still.
    increase = Band(low, max(low, mid), max(low, mid, high))
    coldest, warmest = float(temps_c.min()), float(temps_c.max())
    is_within, validity = _validity(organism, under, coldest, warmest, notes)
    return Prediction(
        organism,
        exposure,
        increase,
        None if under.start_log10 is None else increase.plus(under.start_log10),
        increase.mid * LN10 / math.log(2.0),
        float(times_h[-1] - times_h[0]),
        is_within,
        validity,
        tuple(cautions_of(organism, under)),
    )


def worst(
    times_h: Floats,
    temps_c: Floats,
    organisms: Iterable[Organism],
    under: Conditions,
) -> Prediction:
    """The pathogen with the highest high figure among those the food may carry.

    Only verified ones count. Passed over, and named, are those that every list rules
    out for the measured pH or water activity, and in a history that was hot those whose
    spores are judged by the stages of cooling. Where that leaves none, none is passed
    over.
    """
    known = verified_pathogens(organisms)
    if not known:
        raise ValueError("there is no verified pathogen to choose from")
    was_hot = float(temps_c.max()) >= HOT_C
    looked_at = eligible(known, under, was_hot=was_hot) or known
    told = [predict(times_h, temps_c, one, under) for one in looked_at]
    most = max(told, key=lambda one: (one.increase.high, one.increase.mid))
    note = looked_at_words(known, looked_at, was_hot=was_hot)
    return replace(most, cautions=(*most.cautions, note))


def verified_pathogens(organisms: Iterable[Organism]) -> list[Organism]:
    """The pathogens whose figures were seen: no other counts towards the worst."""
    return [
        one for one in organisms if one.kind == "pathogen" and one.source.is_verified
    ]


def eligible(
    known: Iterable[Organism], under: Conditions, *, was_hot: bool
) -> list[Organism]:
    """Those that no measured pH or water activity rules out; without spores if hot.

    Food that was hot cools: its spores are judged by the stages of the guidance set.
    """
    return [
        one
        for one in known
        if not one.cannot_grow(under.ph, under.aw)
        and not (was_hot and one.lag == "stages")
    ]


def looked_at_words(
    known: Sequence[Organism], looked_at: Sequence[Organism], *, was_hot: bool
) -> str:
    """How many the worst was chosen from, and whom that passed over."""
    passed = "; ".join(one.name for one in known if one not in looked_at)
    note = f"The worst of {len(looked_at)} verified pathogens; no other was looked at."
    if passed:
        note += f" Passed over: {passed}."
    if passed and was_hot:
        note += " Spores in a cool are judged by the stages of the guidance set."
    return note


def factor_of(organism: Organism, under: Conditions) -> tuple[float, list[str]]:
    """What pH and water activity leave of the rate, and what was made of them."""
    is_given = organism.kind == "given"
    usable = organism.factors if is_given else organism.used_factors
    lacking = "no cardinal values given" if is_given else "no verified cardinal values"
    notes = []
    if under.ph is not None and usable.ph is None:
        notes.append(f"pH {under.ph:g} not used: {lacking}")
    if under.aw is not None and usable.aw is None:
        notes.append(f"aw {under.aw:g} not used: {lacking}")
    acidity = usable.of_ph(_nearest(under.ph, organism.valid_ph))
    return acidity * usable.of_aw(_nearest(under.aw, organism.valid_aw)), notes


def _nearest(value: float | None, valid: Range | None) -> float | None:
    """The value, or the end of the fitted range: no credit for going beyond it."""
    if value is None or valid is None:
        return value
    return min(max(value, valid[0]), valid[1])


def _validity(
    organism: Organism,
    under: Conditions,
    coldest: float,
    warmest: float,
    notes: Sequence[str],
) -> tuple[bool | None, str]:
    """Whether the figures the law comes from cover this, and in words."""
    what = "end of the law" if organism.kind == "given" else "figure"
    low, high = organism.valid_c
    beyond = []
    if coldest < low:
        beyond.append(f"{coldest:g} °C lies below the coldest {what}, {low:g} °C")
    if warmest > high:
        beyond.append(f"{warmest:g} °C lies above the warmest {what}, {high:g} °C")
    return said_of_range(organism, under, beyond, notes)


def said_of_range(
    organism: Organism, under: Conditions, beyond: Sequence[str], notes: Sequence[str]
) -> tuple[bool | None, str]:
    """Whether the figures cover it, and in words; `beyond` says of temperatures."""
    is_given = organism.kind == "given"
    low, high = organism.valid_c
    outside = [*beyond, *_conditions_beyond(organism, under)]
    if organism.cannot_grow(under.ph, under.aw):
        notes = [*notes, "lists of growth limits rule it out here: not credited"]
    if not organism.source.is_verified:
        notes = [*notes, f"unverified: {organism.source.seen}"]
    head = f"within {low:g} to {high:g} °C"
    if outside:
        there = "has no growth there" if is_given else "goes on as it stands"
        head = f"outside: {'; '.join(outside)}; the law {there}"
    elif is_given:
        head = "unknown: from where to where the given parameters hold was not said"
    is_within = False if outside else None if is_given else True
    return is_within, "; ".join([head, *notes])


def _conditions_beyond(organism: Organism, under: Conditions) -> Iterable[str]:
    for name, value, valid in (
        ("pH", under.ph, organism.valid_ph),
        ("aw", under.aw, organism.valid_aw),
    ):
        if value is not None and valid and not valid[0] <= value <= valid[1]:
            yield (
                f"{name} {value:g} lies outside {valid[0]:g} to {valid[1]:g}, "
                "the nearer end counts"
            )


def cautions_of(organism: Organism, under: Conditions) -> Iterable[str]:
    """What to be careful of."""
    yield ADVICE
    yield HIGH
    yield FOOD_TEMPERATURE
    if organism.lag == "stages":
        yield SPORES
    if organism.kind in OF_KIND:
        yield OF_KIND[organism.kind]
    if under.h0 > 0:
        yield LAG
    if math.isfinite(under.room_ln):
        yield CEILING
