"""The line that counts: a word in a block, then the date as large as it goes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from lidclock.labels import fit, fonts
from lidclock.labels.figure import Box, Panel, Text

# Quality and pause are outlined; a safety date, or the lack of one, is a solid block.
OUTLINED = frozenset({"BEST BY", "FROZEN"})
_ABOVE_MM = 0.65
_BESIDE_MM = 0.8
_BETWEEN_MM = 0.6
_AFTER_MM = 1.2
_SINGLE_SHARE = 0.5
_LEAST_WORD_PT = 5.0
# Capitals and figures only; J and Q hang below the line.
_CODE_ASCENT, _CODE_LEADING, _CODE_DESCENT = 0.75, 1.0, 0.2


@dataclass(frozen=True, slots=True)
class Headline:
    """The block with its word and the date beside it, composed for one size.

    The words stand as seen from the block's corner. `top` is the room that accents need
    above the block, `drop` leads from its top to the date's baseline: capitals stand in
    its middle.
    """

    words: tuple[Text, ...]
    block_width: float
    block_height: float
    top: float
    drop: float
    height_mm: float
    date: fit.Fitted
    filled: bool

    def width_mm(self) -> float:
        """Block, space and date."""
        return self.block_width + _AFTER_MM + self.date.width_mm()

    def put(
        self,
        texts: list[Text],
        panels: list[Panel],
        boxes: list[Box],
        x: float,
        y: float,
    ) -> float:
        """Set block and date from `y` down; where the next thing may start."""
        top, date = y + self.top, self.date
        panels.append(Panel(x, top, self.block_width, self.block_height, self.filled))
        boxes.append(Box("word", x, top, self.block_width, self.block_height))
        texts += [word.moved(x, top) for word in self.words]
        start, baseline = x + self.block_width + _AFTER_MM, top + self.drop
        above = baseline - date.ascent_mm
        boxes.append(Box("headline", start, above, date.width_mm(), date.height_mm))
        for line in date.lines:
            texts.append(Text(start, baseline, line, date.face, date.size_pt))
            baseline += date.leading_mm
        return y + self.height_mm


@lru_cache(maxsize=4096)
def compose(
    word: str, date: str, width_mm: float, size_pt: tuple[float, float]
) -> Headline | None:
    """Block and date as large as the width allows; None if too wide at the least."""
    for size in fit.sizes(*size_pt):
        made = _at_size(word, date, size, width_mm)
        if made is not None and made.width_mm() <= width_mm:
            return made
    return None


def _at_size(word: str, date: str, size: float, width_mm: float) -> Headline | None:
    caps = fonts.CAP_HEIGHT * size * fonts.MM_PER_PT
    lines = _word_lines(word)
    ems = sum(above + below for above, below in map(_reach, lines))
    gaps = (len(lines) + 1) * _BETWEEN_MM
    tall = max(caps + 2 * _ABOVE_MM, ems * _LEAST_WORD_PT * fonts.MM_PER_PT + gaps)
    word_pt = (tall - gaps) / ems / fonts.MM_PER_PT
    if len(lines) == 1:
        word_pt = min(word_pt, _SINGLE_SHARE * size)
    wide = max(fonts.width_mm(line, fonts.BOLD, word_pt) for line in lines)
    block = wide + 2 * _BESIDE_MM
    fitted = fit.shrink(date, fonts.BOLD, width_mm - block - _AFTER_MM, size, size)
    if fitted is None:
        return None
    drop = (tall + caps) / 2
    top = max(0.0, fitted.ascent_mm - drop)
    below = top + drop - fitted.ascent_mm + fitted.height_mm
    filled = word not in OUTLINED
    return Headline(
        words=tuple(_words(lines, word_pt, block, tall, filled=filled)),
        block_width=block,
        block_height=tall,
        top=top,
        drop=drop,
        height_mm=max(top + tall, below),
        date=fitted,
        filled=filled,
    )


def _words(
    lines: tuple[str, ...], size_pt: float, wide: float, tall: float, *, filled: bool
) -> Iterator[Text]:
    """The word's lines in the middle of a block, as seen from its corner."""
    em = size_pt * fonts.MM_PER_PT
    reaches = [_reach(line) for line in lines]
    gaps = (len(lines) - 1) * _BETWEEN_MM
    y = (tall - sum(map(sum, reaches)) * em - gaps) / 2
    for line, (above, below) in zip(lines, reaches, strict=True):
        x = (wide - fonts.width_mm(line, fonts.BOLD, size_pt)) / 2
        yield Text(x, y + above * em, line, fonts.BOLD, size_pt, filled)
        y += (above + below) * em + _BETWEEN_MM


def _reach(line: str) -> tuple[float, float]:
    """Room above and below the line in ems: capitals stand on it."""
    if fonts.is_plain(line):
        return fonts.CAP_HEIGHT, 0.0
    return fonts.ascent(line), fonts.descent(line)


@lru_cache(maxsize=256)
def _word_lines(word: str) -> tuple[str, ...]:
    """The word on two lines of like length if it has a space, else on one."""
    parts = word.split(" ")
    if len(parts) == 1:
        return (word,)
    cuts = ((" ".join(parts[:n]), " ".join(parts[n:])) for n in range(1, len(parts)))
    return min(cuts, key=lambda pair: max(len(pair[0]), len(pair[1])))


@dataclass(frozen=True, slots=True)
class Code:
    """The code in type, on one or two lines, set flush right."""

    lines: tuple[str, ...]
    size_pt: float

    @property
    def height_mm(self) -> float:
        """From the top of the first line to the tail of a J on the last."""
        ems = _CODE_ASCENT + (len(self.lines) - 1) * _CODE_LEADING + _CODE_DESCENT
        return ems * self.size_pt * fonts.MM_PER_PT

    def width_mm(self) -> float:
        """The widest line, the overhang of a leading J included."""
        em = self.size_pt * fonts.MM_PER_PT
        return max(
            fonts.width_mm(one, fonts.BOLD, self.size_pt) + fonts.overhang(one) * em
            for one in self.lines
        )

    def put(
        self, texts: list[Text], boxes: list[Box], right: float, top: float
    ) -> None:
        """Set the lines flush with `right`, from `top` down."""
        em = self.size_pt * fonts.MM_PER_PT
        for n, line in enumerate(self.lines):
            x = right - fonts.width_mm(line, fonts.BOLD, self.size_pt)
            baseline = top + (_CODE_ASCENT + n * _CODE_LEADING) * em
            texts.append(Text(x, baseline, line, fonts.BOLD, self.size_pt))
        wide = self.width_mm()
        boxes.append(Box("code", right - wide, top, wide, self.height_mm))
