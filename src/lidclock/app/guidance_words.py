"""Words that guidance files bear and that are the program's own: pages translate them.

What an authority says stays as it is written; cautions, advice on whom to ask and the
names of allergens are ours.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from lidclock.app.guidance import shipped
from lidclock.domain.phrases import with_commas
from lidclock.domain.sentences import Sentence, typed
from lidclock.guidance.allergens import allergen_ids
from lidclock.guidance.load import load_cautions


def own_words() -> Iterator[str]:
    """Every text of that kind, as catalogues need it."""
    yield from load_cautions().values()
    yield from (one.advice for one in shipped())
    yield from allergen_ids()


def allergen_names(recorded: Iterable[str]) -> str:
    """`wheat, milk`; what is no name of an allergen stays as somebody typed it."""
    known = allergen_ids()
    return with_commas(Sentence(x, {}) if x in known else typed(x) for x in recorded)
