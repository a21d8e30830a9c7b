"""What a trace says of each batch and container; what nobody recorded stays None."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from lidclock.domain.containers import UNKNOWN_FOOD, Container, End
from lidclock.trace.graph import MIXED, Graph, Link

PACK, BATCH, CONTAINER, UNKNOWN = "pack", "batch", "container", "unknown"


@dataclass(frozen=True, slots=True)
class Part:
    """A bought pack, a batch, a container, or one of which only the key is known.

    `into` are the links to what it went into, `out_of` to what went into it. `left_g`
    is what it holds, or held when it ended; `elsewhere_g` what was taken out of it and
    recorded into nothing. `knows_inputs` is false where nobody recorded what went in.
    """

    key: str
    kind: str
    food: str = ""
    number: int | None = None
    index: int | None = None
    of: int | None = None
    lot: str = ""
    maker: str = ""
    gtin: str = ""
    maker_use_by: date | None = None
    opened_at: datetime | None = None
    made_at: datetime | None = None
    by: str = ""
    recipe: str = ""
    filled_g: float | None = None
    left_g: float | None = None
    elsewhere_g: float = 0.0
    place: str = ""
    end: End | None = None
    ended_by: str = ""
    into: tuple[Link, ...] = ()
    out_of: tuple[Link, ...] = ()
    knows_inputs: bool = True

    @property
    def is_live(self) -> bool:
        """Whether there is still something in it, as far as anybody recorded."""
        return self.kind in (PACK, CONTAINER) and self.end is None

    @property
    def onward_g(self) -> float:
        """What of it is known to be in something else."""
        return round(sum(x.mass_g or 0.0 for x in self.into), 1)

    @property
    def has_unweighed(self) -> bool:
        """Whether a share of it went into a batch that nobody weighed."""
        return any(x.how == MIXED and x.mass_g is None for x in self.into)


def part_of(graph: Graph, key: str) -> Part:
    """What is known of one end of a link."""
    into = tuple(graph.onward.get(key, ()))
    out_of = tuple(graph.inward.get(key, ()))
    batch = graph.inventory.batches.get(key)
    if batch is not None:
        return Part(
            key,
            BATCH,
            food=batch.food,
            number=batch.number,
            of=batch.count or None,
            lot=batch.lot,
            made_at=batch.made_at,
            by=graph.made_by.get(key, ""),
            recipe=batch.recipe,
            filled_g=batch.total_g,
            into=into,
            out_of=out_of,
            knows_inputs=bool(out_of),
        )
    container = graph.inventory.containers.get(key)
    if container is None:
        return Part(key, UNKNOWN, into=into, out_of=out_of, knows_inputs=False)
    return _of_container(graph, container, into, out_of)


def _of_container(
    graph: Graph,
    container: Container,
    into: tuple[Link, ...],
    out_of: tuple[Link, ...],
) -> Part:
    food = graph.inventory.food_of(container)
    batch = graph.inventory.batches.get(container.batch or "")
    is_bought = food.made_by == "maker"
    return Part(
        container.code,
        PACK if is_bought and not out_of else CONTAINER,
        food="" if food.name == UNKNOWN_FOOD else food.name,
        number=batch.number if batch else None,
        index=container.index,
        of=container.of,
        lot=container.lot,
        maker=container.maker,
        gtin=container.gtin,
        maker_use_by=container.maker_use_by,
        opened_at=container.opened_at,
        made_at=container.made_at,
        by=graph.made_by.get(container.code, ""),
        filled_g=container.filled_g,
        left_g=container.mass_g,
        elsewhere_g=graph.elsewhere_g.get(container.code, 0.0),
        place=container.place,
        end=container.end,
        ended_by=graph.ended_by.get(container.code, ""),
        into=into,
        out_of=out_of,
        knows_inputs=is_bought or bool(out_of),
    )


def lot_key(lot: str) -> str:
    """A lot as it is compared: signs composed, without blanks, in small letters."""
    return "".join(unicodedata.normalize("NFC", lot).split()).casefold()


def of_lot(graph: Graph, lots: Iterable[str]) -> list[str]:
    """Keys of the batches and containers that bear one of these lots, batches first.

    A container of such a batch, or split from such a one, bears the lot as well.
    """
    wanted = {lot_key(lot) for lot in lots} - {""}
    inventory = graph.inventory
    batches = [key for key, x in inventory.batches.items() if lot_key(x.lot) in wanted]
    held = [key for key, x in inventory.containers.items() if lot_key(x.lot) in wanted]
    return [*batches, *held]
