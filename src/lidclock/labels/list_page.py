"""Lists on paper, to tick and write on: words in, PDF bytes out, page after page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from lidclock.errors import LabelError
from lidclock.labels import fit, fonts, runs
from lidclock.labels.content import worded
from lidclock.labels.figure import Figure, Panel, Text
from lidclock.labels.sheet_part import (
    LEADING,
    MARGIN,
    Part,
    draw_pages,
    moved_panel,
    paper_size,
)

# Sizes of type: the title, what a row is, what is said of it, heads of columns.
_TITLE_PT, _DAY_PT, _HEAD_PT = 24.0, 14.0, 13.0
_MAIN_PT, _DETAIL_PT, _SMALL_PT = 13.0, 10.0, 9.0
# Rows as tall as a pen needs, in mm; the least for what is weighed in.
_ROW, _ITEM_ROW, _AIR, _LINE = 11.5, 8.0, 1.8, 0.35
_BOX, _SMALL_BOX = 5.5, 4.0
# Columns in mm: the box to tick, the hour, and each place to write in.
_TICK, _LEAD, _BLANK, _GAP, _AMOUNT = 9.0, 17.0, 19.0, 3.0, 32.0
_AGAIN = " (continued)"


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a list: what, and what belongs to it.

    `lead` stands in front, such as an hour. An item is part of the row before it, with
    a small box of its own and its `amount` at the right.
    """

    main: str
    details: tuple[str, ...] = ()
    lead: str = ""
    amount: str = ""
    is_item: bool = False


@dataclass(frozen=True, slots=True)
class Section:
    """Rows under a head; `blanks` are the heads of columns to write in."""

    head: str
    rows: tuple[Row, ...]
    blanks: tuple[str, ...] = ()
    none: str = "nothing"


@dataclass(frozen=True, slots=True)
class ListPage:
    """A list for one day in one kitchen; `cautions` stand at the foot of every page."""

    title: str
    kitchen: str
    day: str
    facts: tuple[str, ...]
    sections: tuple[Section, ...]
    cautions: tuple[str, ...]


class _Block(Part):
    """A part that stays whole on one page; a section's head goes with its first row."""

    is_head = False
    item_of = ""


def draw_list(page: ListPage, paper: str = "a4") -> bytes:
    """The list as PDF, black on white; the same list always gives the same bytes.

    LabelError for a character that no font has, that commands instead of being read,
    or an all-number date.
    """
    width, height = paper_size(paper)
    title = f"{page.title}, {page.kitchen}, {page.day}"
    return draw_pages(arranged(tidied(page), width, height), title, paper)


def tidied(page: ListPage) -> ListPage:
    """The list with every text as labels take it: composed, checked."""
    sections = tuple(
        replace(
            one,
            rows=tuple(
                replace(
                    row,
                    main=worded(row.main, "a row"),
                    details=tuple(worded(x, "a row") for x in row.details),
                )
                for row in one.rows
            ),
        )
        for one in page.sections
    )
    return replace(
        page, kitchen=worded(page.kitchen, "the kitchen's name"), sections=sections
    )


def arranged(page: ListPage, width: float, height: float) -> list[Figure]:
    """Each page as texts and lines, of that size in mm."""
    across = width - 2 * MARGIN
    foot = _foot(page, across)
    top, rest = _head(page, across), _head(page, across, is_first=False)
    bottom = height - MARGIN - foot.y
    pages: list[list[Part]] = [[top]]
    y = MARGIN + top.y
    for section in page.sections:
        for group in _groups(section, across):
            tall = sum(part.y for part in group)
            if y + tall > bottom:
                pages.append([rest, *_again(section, group[0], across)])
                y = MARGIN + sum(part.y for part in pages[-1])
                if y + tall > bottom:
                    raise LabelError("a row is taller than a page: shorten its name")
            pages[-1] += group
            y += tall
    return [
        _page(parts, foot, (number, len(pages)), bottom)
        for number, parts in enumerate(pages, start=1)
    ]


def _again(section: Section, first: _Block, across: float) -> list[_Block]:
    """The head that a section needs on a further page; an item names what it is of."""
    if first.is_head:
        return []
    of = f": {first.item_of}" if first.item_of else ""
    return [_section_head(section, across, f"{_AGAIN}{of}")]


def _page(
    parts: Sequence[Part], foot: Part, number: tuple[int, int], bottom: float
) -> Figure:
    texts: list[Text] = []
    panels: list[Panel] = []
    last = Part(foot.width)
    last.right(
        *(foot.width, foot.y - 1.0, f"page {number[0]} of {number[1]}", _SMALL_PT),
        bold=False,
    )
    y = MARGIN
    for part in parts:
        texts += [one.moved(MARGIN, y) for one in part.texts]
        panels += [moved_panel(one, MARGIN, y) for one in part.panels]
        y += part.y
    for part in (foot, last):
        texts += [one.moved(MARGIN, bottom) for one in part.texts]
        panels += [moved_panel(one, MARGIN, bottom) for one in part.panels]
    return Figure((), tuple(texts), tuple(panels), ())


def _head(page: ListPage, across: float, *, is_first: bool = True) -> Part:
    part = Part(across)
    title = page.title if is_first else f"{page.title}{_AGAIN}"
    _flow(part, title, _TITLE_PT if is_first else _HEAD_PT, bold=True)
    _flow(part, f"{page.day} · {page.kitchen}", _DAY_PT, bold=is_first)
    for fact in page.facts if is_first else ():
        _flow(part, fact, _DETAIL_PT, bold=False)
    part.y += 3.0
    return part


def _foot(page: ListPage, across: float) -> Part:
    """What to be careful of, with room for the number of the page below it."""
    part = Part(across)
    part.y += 2.0
    part.rule(part.y, thick=_LINE)
    part.y += 1.0
    _flow(part, " ".join(page.cautions), _SMALL_PT, bold=False)
    part.y += _SMALL_PT * LEADING * fonts.MM_PER_PT + 1.0
    return part


def _groups(section: Section, across: float) -> Iterator[list[_Block]]:
    """What stays together: a head and its first row, a row and its first item."""
    waiting = [_section_head(section, across)]
    if not section.rows:
        empty = _Block(across)
        empty.y += 1.0
        _flow(empty, section.none, _DETAIL_PT, bold=False)
        yield [*waiting, empty]
        return
    has_lead = any(row.lead for row in section.rows)
    owner = ""
    for index, row in enumerate(section.rows):
        waiting.append(_row(row, section, across, has_lead=has_lead))
        if row.is_item:
            waiting[-1].item_of = owner
        else:
            owner = row.main
        later = section.rows[index + 1 : index + 2]
        if row.is_item or not later or not later[0].is_item:
            yield waiting
            waiting = []


def _section_head(section: Section, across: float, again: str = "") -> _Block:
    part = _Block(across)
    part.is_head = True
    part.y += 4.0
    _flow(part, section.head + again, _HEAD_PT, bold=True, width=_room(section, across))
    if section.rows:
        for x, head in zip(_blanks(section, across), section.blanks, strict=True):
            part.text(x + 1.0, part.y - 1.2, head, _SMALL_PT, bold=False)
    part.y += 0.6
    part.rule(part.y, thick=_LINE)
    return part


def _room(section: Section, across: float) -> float:
    """How wide texts may be: to where the places to write in begin."""
    return across - len(section.blanks) * _BLANK - (_GAP if section.blanks else 0)


def _blanks(section: Section, across: float) -> list[float]:
    count = len(section.blanks)
    return [across - (count - index) * _BLANK for index in range(count)]


def _row(row: Row, section: Section, across: float, *, has_lead: bool) -> _Block:
    part = _Block(across)
    left = _TICK + (_LEAD if has_lead else 0.0)
    right = _room(section, across) - (_AMOUNT if row.is_item else 0)
    part.y += _AIR
    size = _DETAIL_PT + 1 if row.is_item else _MAIN_PT
    cap = size * fonts.MM_PER_PT * fonts.CAP_HEIGHT
    _flow(part, row.main, size, bold=not row.is_item, left=left, width=right - left)
    first = part.texts[0].baseline
    for detail in row.details:
        _flow(part, detail, _DETAIL_PT, bold=False, left=left, width=right - left)
    if row.lead:
        part.text(_TICK, first, row.lead, size, bold=True)
    if row.amount:
        end = _room(section, across)
        part.right(end, first, row.amount, size, bold=True)
    part.y = max(part.y + _AIR, _ITEM_ROW if row.is_item else _ROW)
    box = _SMALL_BOX if row.is_item else _BOX
    at = left - box - 2.0 if row.is_item and has_lead else 0.0
    part.box(at, first - cap / 2 - box / 2, box)
    for x in _blanks(section, across):
        part.panels.append(Panel(x, 0, 0.2, part.y, True))
    part.rule(part.y)
    return part


def _flow(
    part: Part, text: str, size_pt: float, *, bold: bool, left: float = 0.0,
    width: float | None = None,
) -> None:  # fmt: skip
    """Wrapped lines below what is there, from `left` on."""
    face = fonts.BOLD if bold else fonts.REGULAR
    room = part.width - left if width is None else width
    fonts.check(text)
    lines = fit.wrap(text, face, room, size_pt)
    if lines is None:
        lines = fit.wrap(_parted(text, face, room, size_pt), face, room, size_pt)
    if lines is None:
        raise LabelError(f"{text[:40]!r} does not fit on the page: shorten it")
    fitted = fit.Fitted(tuple(lines), face, size_pt)
    leading = max(size_pt * LEADING * fonts.MM_PER_PT, fitted.leading_mm)
    starts = fitted.starts_mm(left, left + room)
    for start, line in zip(starts, lines, strict=True):
        part.y += leading
        part.text(start, part.y - leading * 0.25, line, size_pt, bold=bold)


def _parted(text: str, face: str, room: float, size_pt: float) -> str:
    """The text with every word that is wider than a line cut into parts that fit."""
    found: list[str] = []
    for word in text.split(" "):
        line = ""
        for letter in runs.clusters(word):
            if line and fonts.width_mm(line + letter, face, size_pt) > room:
                found.append(line)
                line = ""
            line += letter
        found.append(line)
    return " ".join(found)
