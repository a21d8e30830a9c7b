"""What went into what, as links between batches and containers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from lidclock.domain.containers import Container, Inventory
from lidclock.domain.events import Event
from lidclock.domain.fold import corrected, fold

# How something came into something else.
MIXED, FILLED, SPLIT, COMBINED = "mixed", "filled", "split", "combined"


@dataclass(frozen=True, slots=True)
class Link:
    """Some of `source` is in `target`: keys are a container's code or a batch's id.

    `mass_g` is how much of it went in, None where nobody recorded that.
    """

    source: str
    target: str
    how: str
    mass_g: float | None = None


@dataclass(slots=True)
class Graph:
    """The links both ways, and what the fold of the same events makes of each end.

    `elsewhere_g` is what was taken out of a container and recorded into nothing.
    `made_by` and `ended_by` are who recorded a making or filling, and an end.
    """

    inventory: Inventory
    onward: dict[str, list[Link]] = field(default_factory=dict)
    inward: dict[str, list[Link]] = field(default_factory=dict)
    elsewhere_g: dict[str, float] = field(default_factory=dict)
    made_by: dict[str, str] = field(default_factory=dict)
    ended_by: dict[str, str] = field(default_factory=dict)

    def add(self, link: Link) -> None:
        """One more link; the same two ends are linked once."""
        links = self.inward.setdefault(link.target, [])
        if all(known.source != link.source for known in links):
            links.append(link)
            self.onward.setdefault(link.source, []).append(link)


def graph_of(events: Iterable[Event]) -> Graph:
    """The graph of everything in `events`, corrections applied.

    A link stands for whatever was recorded, odd or not: what may have gone in counts.
    """
    recorded = list(events)
    facts = corrected({event.id: event for event in recorded}.values())
    graph = Graph(fold(recorded))
    takings = _takings(facts)
    for event in facts:
        if event.kind in ("made", "filled"):
            graph.made_by[event.subject] = event.who
        for link in _links(event, graph.inventory, takings):
            graph.add(link)
        container = graph.inventory.containers.get(event.subject)
        if container is not None and _is_end(event, container):
            graph.ended_by[event.subject] = event.who
    for (code, _), mass_g in takings.items():
        graph.elsewhere_g[code] = round(graph.elsewhere_g.get(code, 0.0) + mass_g, 1)
    return graph


def _takings(facts: Iterable[Event]) -> dict[tuple[str, str], float]:
    """Grams taken, by code and act; by code and hour where acts were not recorded."""
    found: dict[tuple[str, str], float] = {}
    for event in facts:
        if event.kind == "taken" and event.body.get("mass_g") is not None:
            key = (event.subject, _act(event))
            found[key] = round(found.get(key, 0.0) + event.body["mass_g"], 1)
    return found


def _act(event: Event) -> str:
    return event.act or event.happened_at.isoformat()


def _links(
    event: Event, inventory: Inventory, takings: dict[tuple[str, str], float]
) -> Iterator[Link]:
    """What one event says went into what; a taking that is told here is used up."""
    body, subject = event.body, event.subject
    match event.kind:
        case "made":
            for code in dict.fromkeys(body.get("from", ())):
                taken = takings.pop((code, _act(event)), None)
                yield Link(code, subject, MIXED, taken)
        case "filled":
            yield from _filling(subject, body, inventory)
        case "split":
            for code, mass_g in body["into"].items():
                yield Link(subject, code, SPLIT, mass_g)
        case "combined" if "into" in body:
            yield _poured(subject, body["into"], inventory)
        case "combined":
            for code in body["from"]:
                yield _poured(code, subject, inventory)


def _filling(
    code: str, body: Mapping[str, Any], inventory: Inventory
) -> Iterator[Link]:
    """Out of the container it was split from, or else out of its batch."""
    mass_g = body.get("mass_g")
    if body.get("parent"):
        yield Link(body["parent"], code, SPLIT, mass_g)
    elif body.get("batch"):
        yield Link(body["batch"], code, FILLED, mass_g)
    for part in body.get("from", ()):
        yield _poured(part, code, inventory)


def _poured(code: str, into: str, inventory: Inventory) -> Link:
    """All that a part still held went into the mixture."""
    part = inventory.containers.get(code)
    is_whole = part is not None and part.end is not None and part.end.kind == COMBINED
    return Link(code, into, COMBINED, part.mass_g if part and is_whole else None)


def _is_end(event: Event, container: Container) -> bool:
    """Whether this event ended it; the last of what it held may have been taken."""
    end = container.end
    if end is None or event.happened_at != end.at:
        return False
    return event.kind == end.kind or (event.kind == "taken" and end.kind == "used")
