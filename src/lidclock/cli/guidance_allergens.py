"""`guidance allergens`: the lists side by side, or how each declares what is named."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import click

from lidclock.cli.guidance_target import source_words
from lidclock.cli.options import echo_json, echo_lines, json_option
from lidclock.cli.show import columns, prefixed

if TYPE_CHECKING:
    from lidclock.app.allergens import Answer


@click.command()
@click.argument("words", metavar="[WORD]...", nargs=-1)
@click.option(
    "--list", "list_id", metavar="LIST", help="One list alone: us, eu-uk, ca, au-nz."
)
@json_option
def allergens(words: tuple[str, ...], list_id: str | None, as_json: bool) -> None:
    """Show the allergen lists side by side, or how each declares what is named.

    \b
    Example:
      lidclock guidance allergens
      lidclock guidance allergens prawns gluten --list us
    """
    from lidclock.app import allergens as app

    if words:
        answer = app.ask(words, list_id)
        if as_json:
            echo_json(app.answer_json(answer))
        else:
            echo_lines([*_answer_lines(answer), *prefixed("caution", app.cautions())])
    elif as_json:
        lists = [app.list_json(one) for one in app.chosen_lists(list_id)]
        echo_json({"lists": lists, "cautions": list(app.cautions())})
    else:
        echo_lines([*_table_lines(list_id), *prefixed("caution", app.cautions())])


def _answer_lines(answer: Answer) -> Iterator[str]:
    for word, meant in answer.meant.items():
        if meant != (word,):
            yield f"{word}: {', '.join(meant)}"
    for one, declared in answer.declared:
        yield one.title
        rows = [[name, ", ".join(meant)] for name, meant in declared.listed]
        yield from columns(rows, indent=2)
        if declared.unlisted:
            yield f"  not on this list: {', '.join(declared.unlisted)}"
        notes = {entry.name: entry.note for entry in one.entries if entry.note}
        for name, _ in declared.listed:
            if name in notes:
                yield f"  note: {name}: {notes[name]}"
        yield f"  source: {source_words(one)}"


def _table_lines(list_id: str | None) -> Iterator[str]:
    from lidclock.app.allergens import chosen_lists, side_by_side

    lists = chosen_lists(list_id)
    head = ["", *(one.title for one in lists)]
    rows = [[key, *(x or "-" for x in names)] for key, names in side_by_side(list_id)]
    yield from columns([head, *rows])
    for one in lists:
        notes = [f"{x.name}: {x.note}" for x in one.entries if x.note]
        yield from prefixed(f"note: {one.title}", [*notes, *one.notes])
        yield f"source: {source_words(one)}"
