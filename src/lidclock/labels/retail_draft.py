"""A label for sale being put together: its room, one setting, what is placed so far."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from lidclock.labels import bidi, fit, fonts, retail_type
from lidclock.labels.draft import NoRoomError
from lidclock.labels.figure import Box, Figure, Panel, Symbol, Text, clash
from lidclock.labels.grid import Grid
from lidclock.labels.headline import Code
from lidclock.labels.retail_content import DATE, NAME, NET, Part, RetailLabel
from lidclock.labels.retail_layout import RetailLayout
from lidclock.labels.retail_text import Line, Paragraph, Run
from lidclock.labels.symbols import bars, matrix

_BESIDE_MM = 0.8
_RULE_MM = 0.25
_LEAST_LEADING = 0.95


@dataclass(frozen=True, slots=True)
class Cell:
    """What every attempt shares: the label's size, its layout, the printer's dots."""

    width: float
    height: float
    layout: RetailLayout
    dots: Grid

    @property
    def left(self) -> float:
        return self.layout.margin_side_mm

    @property
    def right(self) -> float:
        return self.width - self.layout.margin_side_mm

    @property
    def foot(self) -> float:
        return self.height - self.layout.margin_bottom_mm


@dataclass(frozen=True, slots=True)
class Setting:
    """One attempt: size of the text, module of the symbol, air, with bars or not."""

    body_pt: float
    module_mm: float
    gap_mm: float
    leading: float
    has_bars: bool


@dataclass(slots=True)
class Parted:
    """A part with its words ready to wrap, and its smallest size.

    `pieces` are what reads best on lines of its own, where it takes several.
    """

    part: Part
    words: Paragraph
    least_pt: float
    pieces: tuple[Paragraph, ...] = ()

    @classmethod
    def of(cls, part: Part) -> Parted:
        """The part, measured; LabelError for what no font can show."""
        fonts.check(part.text)
        way = None
        if part.is_headed:
            way = bidi.base("".join(run.text for run in part.runs[1:]))
        words = Paragraph(part.runs, way)
        sizes = [retail_type.least_pt(*one, part.least) for one in words.faces()]
        pieces = tuple(Paragraph((one,), words.way) for one in _pieces(part))
        return cls(part, words, max(sizes), pieces)


def _pieces(part: Part) -> list[Run]:
    """Its runs, or the sentences of the only one; none of a list."""
    if part.is_headed:
        return []
    if len(part.runs) > 1:
        bare = [replace(run, text=run.text.strip()) for run in part.runs]
        return [run for run in bare if run.text]
    found = [replace(part.runs[0], text=one) for one in fit.sentences(part.text)]
    return found if len(found) > 1 else []


@dataclass(slots=True)
class Draft:
    """A label being put together under one setting."""

    label: RetailLabel
    cell: Cell
    setting: Setting
    boxes: list[Box] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)
    panels: list[Panel] = field(default_factory=list)
    symbols: list[Symbol] = field(default_factory=list)
    # Where the symbol's column begins; text wholly above it has the whole width.
    column_x: float = 0.0
    column_top: float = 0.0

    def size(self, parted: Parted) -> float:
        """The part's type size, never below its least."""
        layout = self.cell.layout
        share = {NAME: layout.name_share, DATE: layout.date_share}
        share[NET] = layout.net_share
        wanted = self.setting.body_pt * share.get(parted.part.style, 1.0)
        return max(wanted, parted.least_pt)

    def leading(self, parted: Parted, size_pt: float) -> float:
        """From one baseline to the next: no line touches the one above."""
        share = max(sum(reach(parted)), _LEAST_LEADING) * self.setting.leading
        return max(share * size_pt * fonts.MM_PER_PT, self.label.leading_mm)

    def width_at(self, bottom: float) -> float:
        """How wide a line may be whose lowest point is there."""
        end = self.cell.right
        if bottom > self.column_top:
            end = self.column_x - _BESIDE_MM
        return end - self.cell.left

    def put(self, parted: Parted, lines: list[Line], y: float, size: float) -> float:
        """Set lines from `y` down; where they end."""
        above, below = (part * size * fonts.MM_PER_PT for part in reach(parted))
        step = self.leading(parted, size)
        for n, line in enumerate(lines):
            top = y + n * step
            x = self.cell.left
            if parted.words.is_right_to_left:
                x += self.width_at(top + above + below) - line.width * size
            for one in line.segments:
                self.texts.append(
                    Text(x + one.x * size, top + above, one.text, one.face, size)
                )
            over = line.overhang * size * fonts.MM_PER_PT
            wide = line.width * size + over
            self.boxes.append(Box(parted.part.kind, x - over, top, wide, above + below))
        return y + (len(lines) - 1) * step + above + below

    def figure(self, dropped: tuple[str, ...]) -> Figure:
        """The finished figure; nothing may lie on anything else."""
        found = clash(self.boxes, self.cell.width, self.cell.height)
        if found is not None:
            raise NoRoomError(found)
        return Figure(
            boxes=tuple(self.boxes),
            # As it is read, so that what is copied out of the page is in order.
            texts=tuple(sorted(self.texts, key=lambda one: (one.baseline, one.x))),
            panels=tuple(self.panels),
            symbols=tuple(self.symbols),
            shortened=dropped,
        )


def reach(parted: Parted) -> tuple[float, float]:
    """Room above and below a line of the part, in ems."""
    texts = [run.text for run in parted.part.runs]
    return max(map(fonts.ascent, texts)), max(map(fonts.descent, texts))


def put_symbol(draft: Draft) -> None:
    """The QR symbol at the lower right, the code in type above it."""
    cell = draft.cell
    symbol, box = matrix(draft.label.uri, cell.dots, draft.setting.module_mm)
    quiet = -box.x
    side = box.width - 2 * quiet
    x = cell.dots.down(min(cell.right, cell.width - quiet) - side)
    y = cell.dots.down(min(cell.foot, cell.height - quiet) - side)
    placed = replace(box, x=x - quiet, y=y - quiet)
    draft.symbols.append(replace(symbol, x=x, y=y))
    draft.boxes.append(placed)
    code = _code(draft, min(placed.right, cell.right) - placed.x)
    right = min(placed.right, cell.right)
    code.put(draft.texts, draft.boxes, right, placed.y - code.height_mm)
    draft.column_x = placed.x
    draft.column_top = placed.y - code.height_mm


def _code(draft: Draft, width: float) -> Code:
    """The code in type, on one line if it is wide enough, else on two."""
    typed = draft.label.typed_code()
    for lines in ((typed,), tuple(typed.split())):
        for size in fit.sizes(*draft.cell.layout.code_pt):
            code = Code(lines, size)
            if code.width_mm() <= width:
                return code
    raise NoRoomError("there is no room for its code in type")


def put_bars(draft: Draft, bottom: float) -> float:
    """The Code 128 symbol down to there; where it begins."""
    cell = draft.cell
    symbol, box = bars(
        draft.label.code,
        cell.dots,
        cell.layout.bar_module_mm,
        cell.layout.bar_height_mm,
    )
    quiet = -box.x
    x = cell.dots.up(max(cell.left, quiet))
    y = cell.dots.down(bottom - box.height)
    draft.symbols.append(replace(symbol, x=x, y=y))
    draft.boxes.append(replace(box, x=x - quiet, y=y))
    return y


def put_line(draft: Draft, y: float) -> float:
    """A solid line across; where the next thing may start."""
    wide = draft.width_at(y + _RULE_MM)
    draft.panels.append(Panel(draft.cell.left, y, wide, _RULE_MM, True))
    draft.boxes.append(Box("line", draft.cell.left, y, wide, _RULE_MM))
    return y + _RULE_MM + draft.setting.gap_mm
