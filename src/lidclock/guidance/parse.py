"""From a rule file to a guidance set; anything malformed is refused with its place."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from lidclock.domain.foods import MADE_BY, PACKS
from lidclock.errors import GuidanceError
from lidclock.guidance.categories import below
from lidclock.guidance.figures import conditions, figures
from lidclock.guidance.model import (
    NATURES,
    REFREEZE,
    Approval,
    Category,
    Counting,
    Rule,
    Source,
)
from lidclock.guidance.part import FilePart
from lidclock.guidance.sets import GuidanceSet
from lidclock.guidance.tables import read_sources

ALLERGEN_LISTS = ("us", "eu-uk", "ca", "au-nz")
_SET_KEYS = frozenset(
    {"id", "extends", "title", "authority", "advice", "cold_c", "allergens"}
    | {"tcs_tables", "note"}
)
_COUNTING_KEYS = frozenset(
    {"freeze_day", "thaw_day", "fresh_hours", "refreeze", "reheats", "says", "records"}
)
_SELECTION = frozenset(
    {"categories", "except", "natures", "control", "made_by", "packs"}
)
_HEAD = frozenset({"id", "kind", "source", "section", "says", "record"})
_APPROVAL = frozenset({"replaces", "approved_by", "approved_on"})
_BARRIER = frozenset({"barrier", "barrier_ph", "barrier_aw"})
# What a kind takes besides, and which of it must be there.
_KIND_KEYS: dict[str, tuple[frozenset[str], frozenset[str]]] = {
    "day-count": (
        frozenset({"anchor", "days", "months", "above_c", "chilled_within"})
        | frozenset({"until_opened"})
        | _BARRIER
        | _APPROVAL,
        frozenset(),
    ),
    "elapsed": (
        frozenset({"anchor", "hours"}) | _BARRIER | _APPROVAL,
        frozenset({"hours"}),
    ),
    "exposure": (
        frozenset({"hours", "above_c", "below_c", "kill_c", "states"})
        | frozenset(
            {"rechill_hours", "once", "time_only_hours", "replaces"} | {"ceiling_c"}
        ),
        frozenset({"hours", "above_c"}),
    ),
    "chill": (frozenset({"hours"}), frozenset({"hours"})),
    "process": (
        frozenset({"hours", "below_c", "start_c", "start_within"}),
        frozenset({"hours"}),
    ),
    "quality": (frozenset({"months"}), frozenset({"months"})),
    "house": (frozenset({"anchor", "days"}), frozenset({"days"})),
    "freezes-badly": (frozenset(), frozenset()),
    "exempt": (frozenset(), frozenset()),
    "on-pack": (frozenset(), frozenset()),
    "inherit": (frozenset(), frozenset()),
    "maker-date": (frozenset(), frozenset()),
}
_BASES = Callable[[str], GuidanceSet]


def read_toml(file: str, text: str) -> dict[str, Any]:
    """The tables of a rule file; GuidanceError gives the line of what is not TOML."""
    try:
        return tomllib.loads(text.removeprefix("\ufeff"))
    except (RecursionError, ValueError) as error:
        if isinstance(error, tomllib.TOMLDecodeError):
            raise _not_toml(file, text, error) from error
        raise GuidanceError(f"{file}: not TOML: {error}") from error


def _not_toml(file: str, text: str, error: tomllib.TOMLDecodeError) -> GuidanceError:
    """The refusal with the line that is wrong, the last one where none is named."""
    found = re.search(r"line (\d+)", str(error))
    line = found[1] if found else len(text.splitlines())
    return GuidanceError(f"{file} line {line}: not TOML: {error}")


class RuleFile:
    """One rule file being read: its tables, and where in its text each stands."""

    def __init__(
        self,
        name: str,
        data: Mapping[str, Any],
        categories: Mapping[str, Category],
        cautions: Mapping[str, str],
        *,
        text: str = "",
        file: str = "",
    ) -> None:
        self.name = name
        self.data = data
        self.categories = categories
        self.cautions = cautions
        self.part = FilePart(file or f"{name}.toml", text)

    def read(self, base_of: _BASES) -> GuidanceSet:
        """The whole set; `base_of` finds the set that this one extends."""
        part = self.part
        part.refuse_strays(self.data, {"set", "counting", "source", "rule"})
        head = self._table("set")
        part.at("set").refuse_strays(head, _SET_KEYS)
        base = None
        if "extends" in head:
            base = base_of(part.at("set").word(head, "extends"))
        sources = read_sources(part, self._table("source", optional=True))
        own = [
            self._rule(number, facts, sources, base)
            for number, facts in enumerate(self._rules(), start=1)
        ]
        rules = (*(base.rules if base else ()), *own)
        self._refuse_twins(rules, len(own))
        return GuidanceSet(
            id=self.name,
            **self._head(head, base),
            counting=self._counting(base),
            rules=rules,
            categories=self.categories,
            cautions=self.cautions,
        )

    def _head(
        self, head: Mapping[str, Any], base: GuidanceSet | None
    ) -> dict[str, Any]:
        where = self.part.at("set")
        found: dict[str, Any] = {
            key: where.word(head, key) for key in ("title", "authority", "advice")
        }
        found["note"] = where.read_text(head, "note", "")
        if base is not None:
            for key in ("cold_c", "tcs_tables"):
                where.refuse_if(key in head, key, f"{base.id} settles that")
            found["cold_c"] = base.cold_c
            found["uses_tcs_tables"] = base.uses_tcs_tables
        else:
            found["cold_c"] = where.number(head, "cold_c", -5, 15)
            where.one_of("tcs_tables", head.get("tcs_tables", False), (True, False))
            found["uses_tcs_tables"] = head.get("tcs_tables", False)
        usual = base.allergens if base else ""
        found["allergens"] = where.read_text(head, "allergens", usual)
        where.one_of("allergens", found["allergens"], ("", *ALLERGEN_LISTS))
        return found

    def _table(self, key: str, *, optional: bool = False) -> dict[str, Any]:
        part = self.data.get(key, {} if optional else None)
        if not isinstance(part, dict):
            raise self.part.error("", f"a [{key}] table is missing")
        return part

    def _rules(self) -> list[dict[str, Any]]:
        rules = self.data.get("rule", [])
        if not isinstance(rules, list):
            raise self.part.error("rule", "write each rule as [[rule]]")
        return rules

    def _counting(self, base: GuidanceSet | None) -> Counting:
        facts = self._table("counting", optional=True)
        where = self.part.at("counting")
        where.refuse_strays(facts, _COUNTING_KEYS)
        start = base.counting if base else Counting()
        words = {"counts": True, "free": False}
        days = {}
        for key, name in (
            ("freeze_day", "freeze_day_counts"),
            ("thaw_day", "thaw_day_counts"),
        ):
            days[name] = getattr(start, name)
            if key in facts:
                where.one_of(key, facts[key], tuple(words))
                days[name] = words[facts[key]]
        refreeze = facts.get("refreeze", start.refreeze)
        where.one_of("refreeze", refreeze, REFREEZE)
        fresh, reheats = start.fresh_hours, start.reheats
        if "fresh_hours" in facts:
            fresh = where.number(facts, "fresh_hours", 0, 240)
        if "reheats" in facts:
            reheats = int(where.number(facts, "reheats", 0, 10))
        says = where.read_text(facts, "says", start.says)
        records = where.read_texts(facts, "records", start.records)
        return Counting(
            **days,
            fresh_hours=fresh,
            refreeze=refreeze,
            reheats=reheats,
            says=says,
            records=records,
        )

    def _rule(
        self,
        number: int,
        facts: Any,
        sources: Mapping[str, Source],
        base: GuidanceSet | None,
    ) -> Rule:
        name = facts.get("id", "no id") if isinstance(facts, dict) else "no table"
        where = self.part.at(f"rule {number}", f"({name})")
        if not isinstance(facts, dict):
            raise where.error("", "write each rule as [[rule]]")
        for key in ("id", "kind", "source", "section", "says"):
            where.word(facts, key)
        kind = facts["kind"]
        where.one_of("kind", kind, tuple(_KIND_KEYS))
        takes, needs = _KIND_KEYS[kind]
        where.refuse_strays(facts, _HEAD | _SELECTION | takes, f" for {kind}")
        for key in sorted(needs - facts.keys()):
            raise where.error("", f"{key} is missing; a rule of kind {kind} needs it")
        if facts["source"] not in sources:
            raise where.error("source", f"no source called {facts['source']!r}")
        return Rule(
            id=facts["id"],
            kind=kind,
            source=sources[facts["source"]],
            section=facts["section"],
            says=facts["says"],
            record=where.read_text(facts, "record", ""),
            **self._selected(where, facts),
            **figures(where, facts),
            **conditions(where, facts),
            **self._approved(where, facts, base),
        )

    def _selected(self, where: FilePart, facts: Mapping[str, Any]) -> dict[str, Any]:
        """Which foods a rule is about."""
        made_by = facts.get("made_by", "")
        where.one_of("made_by", made_by, ("", *MADE_BY))
        packs = where.words(facts, "packs", PACKS)
        return {
            "categories": self._categories(where, facts),
            "made_by": made_by,
            "packs": frozenset(packs),
        }

    def _categories(self, where: FilePart, facts: Mapping[str, Any]) -> frozenset[str]:
        known = tuple(self.categories)
        named = where.words(facts, "categories", known, what="category")
        left_out = where.words(facts, "except", known, what="category")
        natures = where.words(facts, "natures", NATURES)
        if not named and not left_out and not natures and "control" not in facts:
            return frozenset()
        chosen = below(named, self.categories) if named else frozenset(known)
        chosen -= below(left_out, self.categories)
        if natures:
            chosen = frozenset(
                x for x in chosen if self.categories[x].nature in natures
            )
        if where.flag(facts, "control"):
            chosen = frozenset(x for x in chosen if self.categories[x].tcs != "no")
        if not chosen:
            raise where.error("categories", "that leaves no category")
        return chosen

    def _approved(
        self, where: FilePart, facts: Mapping[str, Any], base: GuidanceSet | None
    ) -> dict[str, Any]:
        """Who allowed a longer limit, when, and the rule that it stands in for."""
        if not facts.keys() & _APPROVAL:
            return {}
        found: dict[str, Any] = {}
        if "replaces" in facts:
            found["replaces"] = self._replaced(where, facts, base)
            if facts["kind"] == "exposure":
                return found
        who, when = facts.get("approved_by"), facts.get("approved_on")
        if isinstance(who, str):
            where.printable("approved_by", who)
        if not isinstance(who, str) or not who.strip() or type(when) is not date:
            raise where.error(
                "replaces",
                "a longer limit needs approved_by (the authority) and approved_on "
                "(a date such as 2026-11-02)",
            )
        return {**found, "approval": Approval(who, when)}

    def _replaced(
        self, where: FilePart, facts: Mapping[str, Any], base: GuidanceSet | None
    ) -> str:
        replaced = where.word(facts, "replaces")
        if facts["kind"] == "exposure":
            return replaced
        known = {rule.id: rule for rule in base.rules} if base else {}
        if replaced not in known:
            raise where.error("replaces", f"no rule {replaced!r} in the set it extends")
        if known[replaced].kind != facts["kind"]:
            raise where.error("replaces", f"{replaced} is another kind of rule")
        return replaced

    def _refuse_twins(self, rules: tuple[Rule, ...], own: int) -> None:
        seen: set[str] = set()
        for index, rule in enumerate(rules):
            if rule.id in seen:
                number = index - (len(rules) - own) + 1
                where = self.part.at(f"rule {number}", f"({rule.id})")
                raise where.error("id", f"rule id {rule.id!r} is used twice")
            seen.add(rule.id)
