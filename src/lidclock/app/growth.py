"""What-if for growth: one JSON document in, one prediction out; no kitchen."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from lidclock.app.growth_question import WORST, read_question
from lidclock.kinetics.load import load_library
from lidclock.kinetics.organisms import Organism, Source
from lidclock.kinetics.predict import Band, Prediction, predict, worst


def growth(text: str) -> dict[str, Any]:
    """The prediction for the document `text`, as JSON-ready data.

    InputError names every place in the document that is wrong, and what to do. Nothing
    here reaches a limit: a prediction warns earlier, and that is all it may do.
    """
    organisms = load_library().organisms
    asked = read_question(text, organisms)
    if asked.organism is None:
        told = worst(asked.times_h, asked.temps_c, organisms.values(), asked.under)
    else:
        told = predict(asked.times_h, asked.temps_c, asked.organism, asked.under)
    return prediction_json(told)


def prediction_json(told: Prediction) -> dict[str, Any]:
    """A prediction as JSON-ready data, with the parameters it came from."""
    answer = {
        "organism": told.organism.id,
        "name": told.organism.name,
        "parameters": dict(told.organism.parameters),
        "hours": told.hours,
        "exposure": told.exposure,
        "log10_increase": _band_json(told.increase),
        "doublings": told.doublings,
        "validity": told.validity,
        "within_range": told.is_within,
        "source": source_json(told.organism.source),
        "cautions": list(told.cautions),
    }
    if told.end is not None:
        answer["end_log10"] = _band_json(told.end)
    return answer


def organisms() -> list[dict[str, Any]]:
    """Every organism that a question may name, with range, source and status."""
    return [_organism_json(one) for one in load_library().organisms.values()]


def _organism_json(one: Organism) -> dict[str, Any]:
    return {
        "id": one.id,
        "name": one.name,
        "kind": one.kind,
        "says": one.says,
        "lag": one.lag,
        "valid_c": list(one.valid_c),
        "valid_ph": list(one.valid_ph) if one.valid_ph else None,
        "valid_aw": list(one.valid_aw) if one.valid_aw else None,
        "uses": [
            name
            for name, values in (
                ("ph", one.used_factors.ph),
                ("aw", one.used_factors.aw),
            )
            if values
        ],
        "parameters": dict(one.parameters),
        "source": source_json(one.source),
    }


def _band_json(band: Band) -> Mapping[str, float]:
    return {"low": band.low, "mid": band.mid, "high": band.high}


def source_json(source: Source) -> Mapping[str, str]:
    """A source as JSON-ready data."""
    return {
        "authority": source.authority,
        "document": source.document,
        "section": source.section,
        "year": source.year,
        "url": source.url,
        "status": source.status,
        "seen": source.seen,
    }


__all__ = ["WORST", "growth", "organisms", "prediction_json", "source_json"]
