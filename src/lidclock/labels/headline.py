"""The line that counts: a word in a block, then the date as large as it goes."""

from __future__ import annotations

from dataclasses import dataclass

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
    """The block with its word and the date beside it, composed for one size."""

    word: tuple[str, ...]
    word_pt: float
    block_width: float
    block_height: float
    date: fit.Fitted
    filled: bool

    @property
    def _top(self) -> float:
        """Room that accents need above the block."""
        return max(0.0, self.date.ascent_mm - self._drop)

    @property
    def _drop(self) -> float:
        """From the block's top to the baseline: capitals stand in its middle."""
        caps = fonts.CAP_HEIGHT * self.date.size_pt * fonts.MM_PER_PT
        return (self.block_height + caps) / 2

    @property
    def _baseline(self) -> float:
        return self._top + self._drop

    @property
    def height_mm(self) -> float:
        """From the top of the block or its date's accents to the descenders."""
        text = self._baseline - self.date.ascent_mm + self.date.height_mm
        return max(self._top + self.block_height, text)

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
        top = y + self._top
        panels.append(Panel(x, top, self.block_width, self.block_height, self.filled))
        boxes.append(Box("word", x, top, self.block_width, self.block_height))
        self._put_word(texts, x, top)
        start, baseline = x + self.block_width + _AFTER_MM, y + self._baseline
        above = self.date.ascent_mm
        boxes.append(
            Box(
                *("headline", start, baseline - above),
                *(self.date.width_mm(), self.date.height_mm),
            )
        )
        for line in self.date.lines:
            size = self.date.size_pt
            texts.append(Text(start, baseline, line, self.date.face, size))
            baseline += self.date.leading_mm
        return y + self.height_mm

    def _put_word(self, texts: list[Text], x: float, top: float) -> None:
        em = self.word_pt * fonts.MM_PER_PT
        gaps = (len(self.word) - 1) * _BETWEEN_MM
        tall = sum(above + below for above, below in map(_reach, self.word)) * em + gaps
        y = top + (self.block_height - tall) / 2
        for line in self.word:
            above, below = _reach(line)
            wide = fonts.width_mm(line, fonts.BOLD, self.word_pt)
            start = x + (self.block_width - wide) / 2
            texts.append(
                Text(
                    *(start, y + above * em, line),
                    *(fonts.BOLD, self.word_pt, self.filled),
                )
            )
            y += (above + below) * em + _BETWEEN_MM


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
    return Headline(lines, word_pt, block, tall, fitted, word not in OUTLINED)


def _reach(line: str) -> tuple[float, float]:
    """Room above and below the line in ems: capitals stand on it."""
    if fonts.is_plain(line):
        return fonts.CAP_HEIGHT, 0.0
    return fonts.ascent(line), fonts.descent(line)


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
