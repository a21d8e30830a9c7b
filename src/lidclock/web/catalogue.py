"""Catalogues of words: gettext's PO files, read as they are.

The form is that of the GNU gettext manual, "The Format of PO Files" (from memory),
without contexts and obsolete entries. Reading takes milliseconds, once for each
language, so no compiled twin can be older than its source.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from gettext import c2py
from pathlib import Path

_HEADER = re.compile(r"nplurals\s*=\s*(\d+)\s*;\s*plural\s*=\s*([^;]+);")
_LINE = re.compile(r'(?:(msgid|msgid_plural|msgstr(?:\[\d\])?)\s+)?"((?:[^"\\]|\\.)*)"')
_ESCAPE = re.compile(r"\\(.)")
_MEANS = {"n": "\n", "t": "\t"}

Key = tuple[str, str | None]


@dataclass(frozen=True, slots=True)
class Entry:
    """One text: its English, its English for many, and what it is in the language."""

    key: str
    plural: str | None
    says: tuple[str, ...]
    is_fuzzy: bool = False


@dataclass(frozen=True)
class Catalogue:
    """The words of one language; `form_of` tells which form goes with a count."""

    entries: dict[Key, Entry]
    form_count: int
    form_of: Callable[[int], int]

    def one(self, text: str) -> str:
        """The text in this language, or itself where nobody has said it yet."""
        return self._said((text, None), 0) or text

    def many(self, one: str, many: str, count: int) -> str:
        """The form that goes with `count`; English where nobody has said it yet."""
        english = one if count == 1 else many
        return self._said((one, many), self.form_of(abs(count))) or english

    def _said(self, key: Key, form: int) -> str:
        entry = self.entries.get(key)
        if entry is None or entry.is_fuzzy or form >= len(entry.says):
            return ""
        return entry.says[form]


def read_catalogue(path: Path) -> Catalogue:
    """The catalogue in a PO file; ValueError names the line that is wrong."""
    entries = {
        (one.key, one.plural): one for one in _entries(path.read_text(encoding="utf-8"))
    }
    header = entries.pop(("", None), None)
    found = _HEADER.search(header.says[0]) if header else None
    if found is None:
        raise ValueError(f"{path.name}: its header has no Plural-Forms")
    return Catalogue(entries, int(found[1]), c2py(found[2]))


def _entries(text: str) -> Iterator[Entry]:
    """Entry by entry; a blank line or a new msgid ends the one before."""
    fields: dict[str, str] = {}
    is_fuzzy, current = False, ""
    for number, raw in enumerate(text.split("\n"), 1):
        line = raw.strip()
        if line.startswith("#") or not line:
            if "msgid" in fields:
                yield _entry(fields, is_fuzzy)
                fields, is_fuzzy, current = {}, False, ""
            is_fuzzy |= line.startswith("#,") and "fuzzy" in line
            continue
        found = _LINE.fullmatch(line)
        name = (found[1] or current) if found else ""
        if found is None or not name or (found[1] and name in fields):
            raise ValueError(f"line {number} is not one of a catalogue: {line!r}")
        current = name
        fields[name] = fields.get(name, "") + unescaped(found[2])
    if "msgid" in fields:
        yield _entry(fields, is_fuzzy)


def _entry(fields: dict[str, str], is_fuzzy: bool) -> Entry:
    says = tuple(fields[name] for name in sorted(fields) if name.startswith("msgstr"))
    return Entry(fields["msgid"], fields.get("msgid_plural"), says, is_fuzzy)


def unescaped(text: str) -> str:
    """What stands between the quotes of a PO file, as text."""
    return _ESCAPE.sub(lambda found: _MEANS.get(found[1], found[1]), text)


def escaped(text: str) -> str:
    """Text as it stands between the quotes of a PO file."""
    slashed = text.replace("\\", "\\\\").replace('"', '\\"')
    return slashed.replace("\n", "\\n").replace("\t", "\\t")
