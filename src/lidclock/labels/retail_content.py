"""What a label for sale says: values already put into words by the caller."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from lidclock.errors import LabelError
from lidclock.labels.content import Label, clean, worded
from lidclock.labels.retail_data import Least
from lidclock.labels.retail_text import Run

NAME, DATE, NET, BODY = "name", "date", "net", "body"


@dataclass(frozen=True, slots=True)
class Part:
    """One paragraph: how it is called, its words, and the smallest type it may have.

    `style` is name, date, net or body. A part with `drop` goes where there is no room,
    the lower number first; without it, it is printed whole or the label is refused.
    Where it `is_headed`, its first run is a heading that sets no direction.
    """

    kind: str
    runs: tuple[Run, ...]
    least: Least
    style: str = BODY
    drop: int | None = None
    is_headed: bool = False

    @property
    def text(self) -> str:
        """Its words, whatever their weight."""
        return "".join(run.text for run in self.runs)


@dataclass(frozen=True, slots=True, kw_only=True)
class RetailLabel:
    """One container's label for sale: its parts from the top, and its symbols.

    The net quantity stands at the foot. `line_above` names the part with a line above
    it. Control characters, all-number dates and empty parts are refused.
    """

    code: str
    uri: str
    parts: tuple[Part, ...]
    leading_mm: float = 0.0
    line_above: str = ""

    def __post_init__(self) -> None:
        # The container's own label checks what may go into symbols.
        Label("x", self.code, self.uri, "x", "x")
        parts = tuple(_tidy(part) for part in self.parts)
        for style, what in ((NAME, "a name"), (NET, "a net quantity")):
            if sum(part.style == style for part in parts) != 1:
                raise LabelError(f"a label for sale needs {what}")
        object.__setattr__(self, "parts", parts)

    @property
    def name(self) -> str:
        """The name of the food."""
        return next(part.text for part in self.parts if part.style == NAME)

    def typed_code(self) -> str:
        """The code as people read it aloud: three symbols, then four."""
        return f"{self.code[:3]} {self.code[3:]}"


def _tidy(part: Part) -> Part:
    """The part without stray blanks, what must not be printed refused."""
    check = clean if part.kind == "maker" else worded
    if not check(part.text, f"the {part.kind}"):
        raise LabelError(f"the {part.kind} of a label for sale is empty")
    return replace(part, runs=tuple(_squeezed(part)))


def _squeezed(part: Part) -> Iterator[Run]:
    """Its runs with single blanks, none at either end."""
    last = " "
    runs = [replace(run, text=clean_run(run.text, part.kind)) for run in part.runs]
    for place, run in enumerate(runs):
        text = run.text
        if last == " ":
            text = text.removeprefix(" ")
        if place == len(runs) - 1:
            text = text.removesuffix(" ")
        if text:
            yield replace(run, text=text)
            last = text[-1]


def clean_run(text: str, kind: str) -> str:
    """The text in composed form with single blanks, also at its ends."""
    bare = clean(text, f"the {kind}")
    first = " " if text[:1].isspace() else ""
    last = " " if text[-1:].isspace() and bare else ""
    return f"{first}{bare}{last}"
