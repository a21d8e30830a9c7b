"""Labels as plain text, to copy onto tape by hand."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap

from lidclock.labels.content import ActionLabel, Label

_COLUMNS = 72


def plain(labels: Sequence[Label]) -> str:
    """One short block per label, the words in a column, the rest beside them."""
    return "\n\n".join(_block(label) for label in labels) + "\n" if labels else ""


def plain_actions(actions: Sequence[ActionLabel]) -> str:
    """One line per action: its word, what to type or turn into a code, the hint."""
    words = max((len(action.word) for action in actions), default=0)
    codes = max((len(action.code) for action in actions), default=0)
    lines = (
        f"{action.word:<{words}}  {action.code:<{codes}}  {action.hint}".rstrip()
        for action in actions
    )
    return "".join(f"{line}\n" for line in lines)


def _block(label: Label) -> str:
    note = f" ({label.headline_note})" if label.headline_note else ""
    rows = [
        (label.headline_word, label.headline + note),
        *(("", line) for line in label.lines),
        *([("", label.handling)] if label.handling else []),
        ("", label.allergen_line()),
        ("code", label.typed_code()),
    ]
    indent = max(len(word) for word, _ in rows) + 2
    lines = wrap(label.name, _COLUMNS)
    for word, text in rows:
        first, *rest = wrap(text, _COLUMNS - indent) or [""]
        lines.append(f"{word:<{indent}}{first}")
        lines += [" " * indent + line for line in rest]
    return "\n".join(lines)
