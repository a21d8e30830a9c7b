"""Lists for paper on the screen: the same words, within a hundred columns."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lidclock.cli.options import Decorator, echo_lines, paper_option
from lidclock.cli.show import columns
from lidclock.domain.screen_text import shown

if TYPE_CHECKING:
    from lidclock.app.list_words import ListPage, Row, Section
    from lidclock.app.session import Session

_WIDTH, _ONE_LINE, _JOIN = 100, 85, " · "


def list_options(function: Callable[..., Any]) -> Callable[..., Any]:
    """For which day, and where to."""
    return _ON(out_options("Write it as a page to hang up.")(function))


def out_options(says: str) -> Decorator:
    """Where to, and on which paper; `says` is what the file is for."""
    out = click.option(
        "--out",
        type=click.Path(path_type=Path, dir_okay=False),
        metavar="FILE.pdf",
        help=says,
    )
    return lambda function: out(paper_option(function))


_ON = click.option(
    "--on", metavar="DAY", help="For which day, e.g. tomorrow, '5 Nov'. [today]"
)


def show_list(
    page: ListPage, session: Session, out: Path | None, paper: str | None
) -> None:
    """Show the list, or write it to a file and say so."""
    if out is None:
        echo_lines([shown(line) for line in list_lines(page)])
        return
    from lidclock.app.list_words import paper_of, write_list

    chosen = paper or paper_of(session.kitchen)
    write_list(page, out, chosen)
    click.echo(shown(f"wrote: {out}, {page.title.lower()} for {page.day}, {chosen}"))


def list_lines(page: ListPage) -> list[str]:
    """Every section with its rows; what is empty is named in one line at the end."""
    lines = [f"{page.title} for {page.day}, {page.kitchen}", *page.facts]
    for section in page.sections:
        if section.rows:
            lines += ["", section.head, *_rows(section)]
    empty = [one.head.lower() for one in page.sections if not one.rows]
    if empty:
        lines += ["", *_wrapped(f"nothing under: {'; '.join(empty)}", "")]
    return [*lines, "", *_wrapped(" ".join(page.cautions), "")]


def _rows(section: Section) -> list[str]:
    wide = max(len(row.lead) for row in section.rows)
    left = "  " + (" " * (wide + 2) if wide else "")
    lines: list[str] = []
    items: list[list[str]] = []
    for row in section.rows:
        if row.is_item:
            items.append([row.main, row.amount])
            continue
        lines += columns(items, len(left) + 2)
        items = []
        lead = f"{row.lead.ljust(wide)}  " if wide else ""
        lines += _wrapped(f"  {lead}{row.main}", left)
        for detail in _details(row):
            lines += _wrapped(f"{left}  {detail}", f"{left}  ")
    return lines + columns(items, len(left) + 2)


def _details(row: Row) -> Sequence[str]:
    """On one line where they have room, else each on its own."""
    joined = _JOIN.join(row.details)
    return [joined] if row.details and len(joined) <= _ONE_LINE else row.details


def _wrapped(text: str, left: str) -> list[str]:
    return textwrap.wrap(
        text, _WIDTH, subsequent_indent=left, break_on_hyphens=False
    ) or [""]
