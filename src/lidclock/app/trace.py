"""Tracing: what went into a container, a lot or a batch, and where it went."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import timedelta

from lidclock.app.recipe_book import find_recipe, written
from lidclock.app.remarks import lid_remark
from lidclock.app.session import Session, Unit
from lidclock.domain.containers import Batch
from lidclock.domain.sentences import figure, sentence
from lidclock.domain.texts import one_line
from lidclock.errors import InputError, LidclockError, UnknownThingError
from lidclock.trace.graph import Graph, graph_of
from lidclock.trace.parts import (
    BATCH,
    CONTAINER,
    PACK,
    UNKNOWN,
    Part,
    lot_key,
    of_lot,
    part_of,
)
from lidclock.trace.walk import BACK, FORWARD, Step, in_circles, walk

__all__ = ["BACK", "BATCH", "CONTAINER", "FORWARD", "PACK", "UNKNOWN", "Part"]
MOST_ASKED = 200
# How far back the page offers batches to choose from.
RECENT = timedelta(days=14)
_MOST_RECENT = 60


@dataclass(frozen=True, slots=True)
class Question:
    """What is traced: containers by code, lots, batches by number or id, and the way.

    `ways` holds `back`, `forward` or both.
    """

    codes: tuple[str, ...] = ()
    lots: tuple[str, ...] = ()
    batches: tuple[str, ...] = ()
    ways: tuple[str, ...] = (BACK, FORWARD)


@dataclass(frozen=True, slots=True)
class Traced:
    """The starts, and what was reached; a way that was not asked for is None.

    `asked` names what was traced. `circles` are keys of which facts say that they are
    among their own inputs. `labels` says by code what is wrong with a label on a live
    lid. `recipe_inputs` are by batch the inputs of its recipe of which nobody recorded
    a container.
    """

    question: Question
    asked: tuple[str, ...]
    graph: Graph
    starts: tuple[Part, ...]
    back: tuple[tuple[Step, Part], ...] | None
    forward: tuple[tuple[Step, Part], ...] | None
    circles: tuple[Part, ...]
    labels: dict[str, str]
    recipe_inputs: dict[str, tuple[str, ...]]

    def part(self, key: str) -> Part:
        """What is known of one end of a link."""
        return part_of(self.graph, key)


def trace(session: Session, question: Question) -> Traced:
    """Follow what was recorded as put together; nothing that was not is guessed.

    InputError where nothing is asked, UnknownThingError where it is not here.
    """
    with session.read() as unit:
        graph = graph_of(unit.ledger.all())
        keys, asked = _starts(unit, graph, question)
        ways = {way: walk(graph, keys, way) for way in question.ways}
        seen = [*keys, *(step.key for steps in ways.values() for step in steps)]
        parts = {key: part_of(graph, key) for key in seen}
        found = {
            way: tuple((step, parts[step.key]) for step in steps)
            for way, steps in ways.items()
        }
        return Traced(
            question,
            tuple(asked),
            graph,
            tuple(parts[key] for key in keys),
            found.get(BACK),
            found.get(FORWARD),
            tuple(parts[key] for key in in_circles(graph, parts)),
            _labels(unit, parts.values()),
            _recipe_inputs(session, graph, parts.values()),
        )


def recent_batches(session: Session) -> list[Batch]:
    """The batches of the last days, the latest first, to choose from."""
    since = session.now - RECENT
    with session.read() as unit:
        found = [one for one in unit.snapshots.batches() if one.made_at >= since]
    return sorted(found, key=lambda one: one.made_at, reverse=True)[:_MOST_RECENT]


def known_lots(session: Session) -> list[str]:
    """The lots that were recorded, each once as it was written, the latest first."""
    with session.read() as unit:
        batches = [(one.made_at, one.lot) for one in unit.snapshots.batches()]
        held = [
            (one.opened_at or one.made_at or session.now, one.lot)
            for one in unit.snapshots.find(live=False)
        ]
    lots: dict[str, str] = {}
    for _, lot in sorted([*batches, *held], reverse=True):
        if lot:
            lots.setdefault(lot_key(lot), lot)
    return list(lots.values())


def _starts(
    unit: Unit, graph: Graph, question: Question
) -> tuple[list[str], list[str]]:
    """Keys to begin with, and what was asked in words."""
    if not (question.codes or question.lots or question.batches):
        raise InputError(
            sentence("say what to trace: the code of a container, a lot or a batch")
        )
    if len(question.codes) + len(question.lots) + len(question.batches) > MOST_ASKED:
        raise InputError(
            sentence("trace at most {most} at once", most=figure(MOST_ASKED))
        )
    keys: dict[str, None] = {}
    asked: list[str] = []
    for typed in question.codes:
        code = unit.find(typed).code
        keys[code] = None
        asked.append(code)
    for lot in question.lots:
        name = one_line(lot, "the lot")
        bearing = of_lot(graph, [name])
        if not bearing:
            raise UnknownThingError(_no_lot(name))
        keys |= dict.fromkeys(bearing)
        asked.append(sentence("lot {lot}", lot=name))
    for typed in question.batches:
        batch = _batch(graph, typed)
        keys[batch.id] = None
        asked.append(sentence("batch {number}", number=figure(batch.number)))
    return list(keys), asked


def _no_lot(name: str) -> str:
    return sentence(
        "no pack and no batch here bears the lot {lot}: check how it is written, or "
        "trace a container",
        lot=repr(name),
    )


def _batch(graph: Graph, typed: str) -> Batch:
    """By its id, or by its number where one batch alone bears it."""
    known = graph.inventory.batches
    wanted = typed.strip()
    if wanted in known:
        return known[wanted]
    found = [one for one in known.values() if str(one.number) == wanted]
    if not found:
        raise UnknownThingError(sentence("no batch {number} here", number=repr(wanted)))
    if len(found) > 1:
        raise InputError(
            sentence(
                "two devices numbered a batch {number} at the same time: trace a "
                "container of the one that is meant",
                number=wanted,
            )
        )
    return found[0]


def _labels(unit: Unit, parts: Iterable[Part]) -> dict[str, str]:
    """What is wrong with labels on live lids; those without any are not looked at."""
    live = [part.key for part in parts if part.is_live]
    unit.expect(set(live))
    remarks: dict[str, str] = {}
    for code in live:
        known = unit.snapshot(code)
        if known is not None and not known.is_labelled:
            remark = lid_remark(unit.view(code))
            if remark:
                remarks[code] = remark
    return remarks


def _recipe_inputs(
    session: Session, graph: Graph, parts: Iterable[Part]
) -> dict[str, tuple[str, ...]]:
    """By batch, what its recipe names and nobody recorded a container of."""
    missing: dict[str, tuple[str, ...]] = {}
    for part in parts:
        if part.kind != BATCH or not part.recipe:
            continue
        put_in = {part_of(graph, link.source).food.casefold() for link in part.out_of}
        names = _inputs_of(session, part.recipe)
        rest = tuple(name for name in names if name.casefold() not in put_in)
        if rest:
            missing[part.key] = rest
    return missing


def _inputs_of(session: Session, recipe: str) -> Sequence[str]:
    """The inputs of a kept recipe by the words of its batch; none where it is gone."""
    name, _, version = recipe.rpartition(", version ")
    try:
        kept = find_recipe(session, name, int(version))
        return [x.name for x in written(kept.text, is_toml=kept.is_toml).recipe.inputs]
    except (LidclockError, ValueError):
        return []
