"""Where in a rule file something stands, for refusals that name file, line and key."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from typing import Any

from lidclock.errors import GuidanceError

_LONGEST_TEXT = 600


@dataclass(frozen=True, slots=True)
class FilePart:
    """A table of a rule file; checks its values and words the refusals."""

    file: str
    text: str = ""
    table: str = ""
    remark: str = ""

    def at(self, table: str, remark: str = "") -> FilePart:
        """A table of the same file."""
        return replace(self, table=table, remark=remark)

    def error(self, key: str, message: str) -> GuidanceError:
        """The refusal, with file, line and table in front."""
        line = self._line(key)
        where = f"{self.file} line {line}" if line else self.file
        named = " ".join(part for part in (self.table, self.remark) if part)
        return GuidanceError(
            ": ".join(part for part in (where, named, message) if part)
        )

    def refuse_if(self, is_wrong: bool, key: str, why: str) -> None:
        """Refuse `key` where it has no business."""
        if is_wrong:
            raise self.error(key, f"{key} has no place here: {why}")

    def refuse_strays(
        self, facts: Mapping[str, Any], known: Collection[str], what: str = ""
    ) -> None:
        """Refuse a key that nobody knows, with those that are known."""
        stray = sorted(facts.keys() - set(known))
        if stray:
            expected = ", ".join(sorted(known))
            raise self.error(
                stray[0], f"unknown key {stray[0]!r}{what}; expected {expected}"
            )

    def refuse_missing(self, facts: Mapping[str, Any], key: str) -> None:
        """Refuse a table without `key`."""
        if key not in facts:
            raise self.error(key, f"{key!r} is missing")

    def one_of(self, key: str, value: Any, known: tuple[Any, ...]) -> None:
        """Refuse a word that is not one of `known`."""
        if value not in known:
            listed = ", ".join(repr(one) for one in known)
            raise self.error(key, f"{key} {value!r} is not one of {listed}")

    def words(
        self, facts: Mapping[str, Any], key: str, known: Collection[str], what: str = ""
    ) -> tuple[str, ...]:
        """A list of known words; a single one may stand without brackets."""
        value = facts.get(key, [])
        listed = [value] if isinstance(value, str) else value
        if not isinstance(listed, list) or not all(isinstance(x, str) for x in listed):
            raise self.error(key, f"{key} must be a list of words, not {value!r}")
        for word in listed:
            if word not in known:
                expected = "" if len(known) > 20 else f"; expected {', '.join(known)}"
                raise self.error(key, f"no {what or key} {word!r}{expected}")
        return tuple(listed)

    def flag(self, facts: Mapping[str, Any], key: str) -> bool:
        """True or false; left out, false."""
        return bool(self.known_flag(facts, key))

    def known_flag(self, facts: Mapping[str, Any], key: str) -> bool | None:
        """True or false; None where it is left out."""
        value = facts.get(key)
        if key in facts and not isinstance(value, bool):
            raise self.error(key, f"{key} must be true or false, not {value!r}")
        return value

    def word(self, facts: Mapping[str, Any], key: str) -> str:
        """Some text that has to be there, and to say something."""
        value = facts.get(key)
        if not isinstance(value, str) or not value.strip():
            raise self.error(key, f"{key} is missing or not text")
        return self.printable(key, value)

    def read_text(self, facts: Mapping[str, Any], key: str, usual: str) -> str:
        """Some text, or the usual one where the key is left out."""
        value = facts.get(key, usual)
        if not isinstance(value, str):
            raise self.error(key, f"{key} must be text, not {value!r}")
        return self.printable(key, value)

    def printable(self, key: str, value: str) -> str:
        """The text, if it can stand on a screen and a label as it is."""
        if len(value) > _LONGEST_TEXT or not value.isprintable():
            raise self.error(
                key, f"{key} must be one line of at most {_LONGEST_TEXT} characters"
            )
        return value

    def read_texts(
        self, facts: Mapping[str, Any], key: str, usual: tuple[str, ...] = ()
    ) -> tuple[str, ...]:
        """A list of texts, or the usual one where the key is left out."""
        value = facts.get(key, list(usual))
        if not isinstance(value, list) or not all(isinstance(x, str) for x in value):
            raise self.error(key, f"{key} must be a list of texts, not {value!r}")
        return tuple(self.printable(key, text) for text in value)

    def number(
        self, facts: Mapping[str, Any], key: str, low: float, high: float
    ) -> float:
        """A number within bounds."""
        value = facts.get(key)
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise self.error(key, f"{key} is missing or not a number")
        if not low <= value <= high:
            raise self.error(key, f"{key} must lie within {low:g} and {high:g}")
        return float(value)

    def whole_range(
        self, facts: Mapping[str, Any], key: str, most: int
    ) -> tuple[int, int]:
        """A whole number, or [low, high]."""
        value = facts.get(key)
        ends: list[Any] = value if isinstance(value, list) else [value, value]
        # `true` is an int to Python, not to a person.
        whole = all(type(end) is int and 0 < end <= most for end in ends)
        if len(ends) != 2 or not whole or ends[0] > ends[1]:
            raise self.error(
                key, f"{key} must be a whole number or [low, high], not {value!r}"
            )
        return int(ends[0]), int(ends[1])

    def range(
        self, facts: Mapping[str, Any], key: str, most: float
    ) -> tuple[float, float]:
        """A number, or [low, high]."""
        value = facts.get(key)
        ends: list[Any] = value if isinstance(value, list) else [value, value]
        is_number = all(type(end) in (int, float) and 0 < end <= most for end in ends)
        if len(ends) != 2 or not is_number or ends[0] > ends[1]:
            raise self.error(
                key, f"{key} must lie within 0 and {most:g}, or be [low, high]"
            )
        return float(ends[0]), float(ends[1])

    def _line(self, key: str) -> int | None:
        """The line of `key` in this table, else of the table; None without a text."""
        lines = self.text.splitlines()
        start = self._start(lines)
        if start is None:
            return None
        for number in range(start + 1, len(lines)):
            if lines[number].lstrip().startswith("["):
                break
            if re.match(rf"\s*[\"']?{re.escape(key)}[\"']?\s*=", lines[number]):
                return number + 1
        return start + 1

    def _start(self, lines: list[str]) -> int | None:
        if not lines:
            return None
        found = re.fullmatch(r"rule (\d+)", self.table)
        head = "[[rule]]" if found else f"[{self.table}]"
        wanted = int(found[1]) if found else 1
        for number, line in enumerate(lines):
            if line.split("#")[0].strip() == head:
                wanted -= 1
                if wanted == 0:
                    return number
        return -1 if not self.table else None
