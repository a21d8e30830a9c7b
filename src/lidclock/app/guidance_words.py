"""Words that guidance files bear and that are the program's own: pages translate them.

What an authority says stays as it is written; cautions, advice on whom to ask, and the
names of sets, of allergens and of kinds of food are ours.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from lidclock.app.categories import tree
from lidclock.app.guidance import shipped
from lidclock.domain.phrases import with_commas
from lidclock.domain.sentences import Sentence, typed
from lidclock.guidance.allergens import allergen_ids, allergen_lists
from lidclock.guidance.load import load_cautions
from lidclock.guidance.model import Category


def own_words() -> Iterator[str]:
    """Every text of that kind, as catalogues need it."""
    return (str(text) for text in _own_words() if text)


def _own_words() -> Iterator[str]:
    yield from load_cautions().values()
    yield from (one.advice for one in shipped())
    yield from allergen_ids()
    yield from (one.title for one in shipped())
    yield from (one.title for one in allergen_lists().values())
    for kind in tree():
        yield from (kind.name, kind.offer, everyday_words(kind))


def everyday_words(category: Category) -> str:
    """What a kind of food is found by, as one text: languages have more or fewer."""
    return ", ".join(category.words)


def allergen_names(recorded: Iterable[str]) -> str:
    """`wheat, milk`; what is no name of an allergen stays as somebody typed it."""
    known = allergen_ids()
    return with_commas(Sentence(x, {}) if x in known else typed(x) for x in recorded)
