"""What labels for sale must bear, by jurisdiction: words, least sizes, statements.

Data a user edits, in labels/statements; every figure comes with its source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from lidclock.errors import LabelError, UnknownThingError
from lidclock.labels import data

KIND = "statements"
LETTERS = ("x", "o", "figure")
EMPHASES = ("capitals", "statement")
MENTIONS = ("all", "rest")
GROUPINGS = ("allergen", "entry")
MOMENTS = ("always", "thawed", "raw-meat", "asked")
WORDS = (
    *("ingredients", "contains", "also_contains", "use_by", "best_before"),
    *("keep_cold", "keep_frozen", "frozen_on", "once_thawed", "made_by"),
    *("net", "lot", "made"),
)
_BY = ("grams", "area", "none")
_SOURCE = ("authority", "document", "year", "url", "grade")
_KEYS = frozenset(
    {"title", "allergens", "emphasis", "contains", "contains_by", "kinds", "units"}
    | {
        "degrees",
        "names",
        "line_above_list",
        "leading_mm",
        "words",
        "summary",
        "source",
        "type",
        "net",
    }
    | {"rule", "statement"}
)


@dataclass(frozen=True, slots=True)
class Cited:
    """Where something was published, and whether it was read there."""

    authority: str
    document: str
    section: str
    year: str
    verified: bool

    def words(self) -> str:
        """Authority, document, section, year; `unverified` where it is."""
        section = "" if self.section == "-" else self.section
        parts = [self.authority, self.document, section, self.year]
        return ", ".join(
            part for part in [*parts, "" if self.verified else "unverified"] if part
        )


@dataclass(frozen=True, slots=True)
class Least:
    """The smallest type allowed: a letter so many mm tall, or so many points."""

    letter: str = "x"
    mm: float = 0.0
    pt: float = 0.0


@dataclass(frozen=True, slots=True)
class Rule:
    """What a rule says that shapes the label or that the kitchen must be told."""

    id: str
    says: str
    cited: Cited


@dataclass(frozen=True, slots=True)
class Statement:
    """Fixed words, when they are due, and what they claim of the food."""

    id: str
    when: str
    text: str
    cited: Cited
    heading: str = ""
    place: str = "foot"
    claims: str = ""
    least: Least | None = None


@dataclass(frozen=True, slots=True)
class Net:
    """How tall the net quantity must be: by its grams, by the panel, or always."""

    by: str
    letter: str
    steps: tuple[tuple[float, float], ...]
    above: float
    assumed_cm2: float | None
    cited: Cited


@dataclass(frozen=True, slots=True, kw_only=True)
class Jurisdiction:
    """The rules that one label for sale goes by."""

    id: str
    title: str
    allergens: str
    emphasis: str
    contains: str
    contains_by: str
    names: Mapping[str, str]
    has_kinds: bool
    units: str
    degrees: str
    has_line_above_list: bool
    leading_mm: float
    words: Mapping[str, str]
    summary: Mapping[str, tuple[str, ...]]
    letter: str
    mm: float
    small_mm: float
    small_below_cm2: float
    type_cited: Cited
    net: Net
    rules: Mapping[str, Rule]
    statements: Mapping[str, Statement]

    def least(self, face_cm2: float | None) -> Least:
        """The smallest type on a pack whose largest face is so large, if known."""
        is_small = face_cm2 is not None and face_cm2 < self.small_below_cm2
        return Least(self.letter, self.small_mm if is_small else self.mm)

    def least_net(self, grams: float, face_cm2: float | None) -> Least:
        """The smallest type of the net quantity."""
        measure = grams if self.net.by == "grams" else face_cm2
        if self.net.by == "area" and measure is None:
            measure = self.net.assumed_cm2
        for most, mm in self.net.steps:
            if measure is not None and measure <= most:
                return Least(self.net.letter, mm)
        return Least(self.net.letter, self.net.above)

    def rule(self, rule_id: str) -> Rule | None:
        """What it says on that matter; None where nothing is known."""
        return self.rules.get(rule_id)

    def unverified(self) -> tuple[Cited, ...]:
        """Sizes that nobody checked."""
        found = (self.type_cited, self.net.cited)
        return tuple(dict.fromkeys(one for one in found if not one.verified))


def jurisdictions() -> tuple[str, ...]:
    """The ids of all there is data for."""
    return data.names(KIND)


def jurisdiction(name: str) -> Jurisdiction:
    """The rules of that name, checked; UnknownThingError names those there are."""
    wanted = name.strip().casefold()
    if wanted not in jurisdictions():
        known = ", ".join(jurisdictions())
        raise UnknownThingError(
            f"no rules for labels under {name!r}; there are {known}"
        )
    return _Reader(wanted, data.read(KIND, wanted)).read()


class _Reader:
    """One file; whatever is missing or unknown in it is refused, place named."""

    def __init__(self, name: str, table: dict[str, Any]) -> None:
        self._name = name
        self._table = table
        self._where = f"{KIND} {name}"

    def read(self) -> Jurisdiction:
        """The whole file."""
        table, where = self._table, self._where
        self._refuse_strays(table, _KEYS, where)
        of_type = self._inner(table, "type")
        words = self._inner(table, "words")
        self._refuse_strays(words, frozenset(WORDS), f"{where} words")
        rules = [self._rule(one) for one in table.get("rule", [])]
        statements = [self._statement(one) for one in table.get("statement", [])]
        mm = data.number(of_type, "mm", f"{where} type")
        return Jurisdiction(
            id=self._name,
            title=data.text(table, "title", where),
            allergens=data.text(table, "allergens", where),
            emphasis=self._one_of(table, "emphasis", EMPHASES),
            contains=self._one_of(table, "contains", MENTIONS),
            contains_by=self._one_of(
                {"contains_by": "allergen", **table}, "contains_by", GROUPINGS
            ),
            names=dict(table.get("names", {})),
            has_kinds=bool(table.get("kinds", False)),
            units=self._one_of(table, "units", ("metric", "both")),
            degrees=self._one_of(table, "degrees", ("C", "F")),
            has_line_above_list=bool(table.get("line_above_list", False)),
            leading_mm=data.number({"leading_mm": 0, **table}, "leading_mm", where),
            words={key: self._word(words, key) for key in WORDS},
            summary={
                key: tuple(names) for key, names in table.get("summary", {}).items()
            },
            letter=self._one_of(of_type, "letter", LETTERS),
            mm=mm,
            small_mm=data.number({"small_mm": mm, **of_type}, "small_mm", where),
            small_below_cm2=data.number(
                {"small_below_cm2": 0, **of_type}, "small_below_cm2", where
            ),
            type_cited=self._cited(of_type),
            net=self._net(self._inner(table, "net")),
            rules={one.id: one for one in rules},
            statements={one.id: one for one in statements},
        )

    def _net(self, table: dict[str, Any]) -> Net:
        where = f"{self._where} net"
        steps = table.get("steps", [])
        pairs = tuple(
            (data.number({"step": most}, "step", where), float(mm))
            for most, mm in steps
        )
        if list(pairs) != sorted(pairs):
            raise LabelError(f"{where}: steps must rise")
        assumed = table.get("assumed_cm2")
        return Net(
            by=self._one_of(table, "by", _BY),
            letter=self._one_of(table, "letter", LETTERS),
            steps=pairs,
            above=data.number(table, "above", where),
            assumed_cm2=None if assumed is None else float(assumed),
            cited=self._cited(table),
        )

    def _statement(self, table: dict[str, Any]) -> Statement:
        where = f"{self._where} statement"
        least = None
        if "mm" in table:
            least = Least(self._table["type"]["letter"], float(table["mm"]))
        if "pt" in table:
            least = Least(pt=float(table["pt"]))
        return Statement(
            id=data.text(table, "id", where),
            when=self._one_of(table, "when", MOMENTS),
            text=data.text(table, "text", where),
            cited=self._cited(table),
            heading=table.get("heading", ""),
            place=self._one_of({"place": "foot", **table}, "place", ("foot", "name")),
            claims=table.get("claims", ""),
            least=least,
        )

    def _rule(self, table: dict[str, Any]) -> Rule:
        where = f"{self._where} rule"
        return Rule(
            data.text(table, "id", where),
            data.text(table, "says", where),
            self._cited(table),
        )

    def _cited(self, table: dict[str, Any]) -> Cited:
        key = data.text(table, "source", self._where)
        source = self._table.get("source", {}).get(key)
        if not isinstance(source, dict):
            raise LabelError(f"{self._where}: no source called {key!r}")
        where = f"{self._where} source {key}"
        plain = {name: data.text(source, name, where) for name in _SOURCE}
        verified = source.get("verified")
        if not isinstance(verified, bool):
            raise LabelError(f"{where}: verified must be true or false")
        return Cited(
            plain["authority"],
            plain["document"],
            data.text(table, "section", self._where),
            plain["year"],
            verified,
        )

    def _inner(self, table: dict[str, Any], key: str) -> dict[str, Any]:
        inner = table.get(key)
        if not isinstance(inner, dict):
            raise LabelError(f"{self._where}: write a table [{key}]")
        return inner

    def _word(self, table: dict[str, Any], key: str) -> str:
        """A word; the one before the net quantity may be left empty."""
        if key == "net" and table.get(key) == "":
            return ""
        return data.text(table, key, f"{self._where} words")

    def _one_of(self, table: dict[str, Any], key: str, allowed: tuple[str, ...]) -> str:
        value = data.text(table, key, self._where)
        if value not in allowed:
            expected = ", ".join(allowed)
            raise LabelError(
                f"{self._where}: {key} must be one of {expected}, not {value!r}"
            )
        return value

    def _refuse_strays(
        self, table: dict[str, Any], known: frozenset[str], where: str
    ) -> None:
        for key in sorted(table.keys() - known):
            raise LabelError(f"{where}: unknown key {key!r}")
