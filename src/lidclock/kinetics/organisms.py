"""Organisms: a rate law with its source, its range, and what may be left out of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from lidclock.kinetics.factors import Factors
from lidclock.kinetics.rates import RateLaw

KINDS = ("pathogen", "spoilage", "culture", "generic")
# Whether a lag may be asked for, or a cool is judged by the authority's stages alone.
LAGS = ("none", "stages")
VERIFIED, UNVERIFIED = "verified", "unverified"
Range = tuple[float, float]
NO_FACTORS = Factors()


@dataclass(frozen=True, slots=True)
class Source:
    """A document, where in it, and whether its figures were seen there."""

    id: str
    authority: str
    document: str
    section: str
    year: str
    url: str
    status: str
    seen: str

    @property
    def is_verified(self) -> bool:
        """Whether the figures were seen; others are never shown as an authority's."""
        return self.status == VERIFIED


@dataclass(frozen=True, slots=True)
class Limits:
    """The acidity and dryness beyond which one list says that nothing grows."""

    source: Source
    ph_min: float | None = None
    ph_max: float | None = None
    aw_min: float | None = None

    def excludes(self, ph: float | None, aw: float | None) -> bool:
        """Whether a measured value lies beyond what this list gives."""
        return (
            _is_below(ph, self.ph_min)
            or _is_below(aw, self.aw_min)
            or _is_below(self.ph_max, ph)
        )


@dataclass(frozen=True, slots=True)
class Organism:
    """One organism in one food, or something that is counted like one."""

    id: str
    name: str
    kind: str
    law: RateLaw
    parameters: Mapping[str, object]
    source: Source
    says: str
    lag: str
    valid_c: Range
    valid_ph: Range | None = None
    valid_aw: Range | None = None
    factors: Factors = NO_FACTORS
    ph_source: Source | None = None
    aw_source: Source | None = None
    limits: tuple[Limits, ...] = ()

    @property
    def used_factors(self) -> Factors:
        """The factors whose cardinal values were seen: no other may lower a rate."""
        return Factors(
            self.factors.ph if self.ph_source and self.ph_source.is_verified else None,
            self.factors.aw if self.aw_source and self.aw_source.is_verified else None,
        )

    def cannot_grow(self, ph: float | None, aw: float | None) -> bool:
        """Whether every list there is says so, and at least one of them was seen.

        Lists disagree widely. One that was not seen can keep an organism in; it never
        takes one out.
        """
        return (
            bool(self.limits)
            and all(one.excludes(ph, aw) for one in self.limits)
            and any(one.source.is_verified for one in self.limits)
        )


@dataclass(frozen=True, slots=True)
class Hazard:
    """A table of times that may add up: `law` is the share of them used in an hour."""

    id: str
    name: str
    source: Source
    law: RateLaw


@dataclass(frozen=True, slots=True)
class Library:
    """Everything in the data folder."""

    sources: Mapping[str, Source]
    organisms: Mapping[str, Organism]
    hazards: Mapping[str, Hazard]


def _is_below(value: float | None, bound: float | None) -> bool:
    return value is not None and bound is not None and value < bound
