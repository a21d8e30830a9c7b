"""Walks through the graph: back to what went in, forward to where it went."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from lidclock.trace.graph import Graph, Link

BACK, FORWARD = "back", "forward"


@dataclass(frozen=True, slots=True)
class Step:
    """Something that was reached, how many links away, and the links that led to it."""

    key: str
    away: int
    links: tuple[Link, ...]


def walk(graph: Graph, starts: Iterable[str], way: str) -> tuple[Step, ...]:
    """Everything upstream (`back`) or downstream (`forward`), each once, near first.

    Where it began is no step, so facts that go round in a circle end the walk too.
    `links` are all that lead to a start or to another step, not the first one alone.
    """
    begun = dict.fromkeys(starts)
    away: dict[str, int] = dict.fromkeys(begun, 0)
    ring = list(begun)
    while ring:
        beyond: dict[str, None] = {}
        for key in ring:
            for link in _links_from(graph, key, way):
                end = _far_end(link, way)
                if end not in away:
                    away[end] = away[key] + 1
                    beyond[end] = None
        ring = list(beyond)
    return tuple(
        Step(key, far, _links_to(graph, key, way, away))
        for key, far in away.items()
        if key not in begun
    )


def in_circles(graph: Graph, keys: Iterable[str]) -> tuple[str, ...]:
    """Those of `keys` that are among what went into themselves: no kitchen does that.

    One of the facts is wrong; the walk shows all of them all the same.
    """
    asked = list(dict.fromkeys(keys))
    left = set(asked)
    # What nothing of the rest leads into lies in no circle.
    while free := {key for key in left if not _sources(graph, key) & left}:
        left -= free
    return tuple(key for key in asked if key in left and _meets_itself(graph, key))


def _meets_itself(graph: Graph, key: str) -> bool:
    waiting, seen = list(_sources(graph, key)), set()
    while waiting:
        source = waiting.pop()
        if source == key:
            return True
        if source not in seen:
            seen.add(source)
            waiting.extend(_sources(graph, source))
    return False


def _sources(graph: Graph, key: str) -> set[str]:
    return {link.source for link in graph.inward.get(key, ())}


def _links_from(graph: Graph, key: str, way: str) -> Iterable[Link]:
    return (graph.inward if way == BACK else graph.onward).get(key, ())


def _far_end(link: Link, way: str) -> str:
    return link.source if way == BACK else link.target


def _links_to(
    graph: Graph, key: str, way: str, reached: dict[str, int]
) -> tuple[Link, ...]:
    if way == BACK:
        return tuple(x for x in graph.onward.get(key, ()) if x.target in reached)
    return tuple(x for x in graph.inward.get(key, ()) if x.source in reached)
