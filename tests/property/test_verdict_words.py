"""Whatever happened to a container: how it stands and why can be said in Arabic.

Arabic has no Latin letters, and a page sets apart what is data. What is left must
have none; what is set apart must be a name, a code or an authority's wording.
"""

from __future__ import annotations

import re

from hypothesis import given

from lidclock.app.verdict_words import limit_lines, status_line
from lidclock.clock import judge
from lidclock.guidance.load import load_categories
from lidclock.web.sentences import is_sayable, spoken
from strategies import ALL_SETS, all_set_ids, cases, later

LATIN = re.compile(r"[A-Za-z]")
APART = re.compile("\u2068([^\u2068\u2069]*)\u2069")
HOUR = re.compile(r"\d\d:\d\d")


def wording_of(guidance):
    """What an authority says, and the names of things in its files."""
    found = {guidance.id, guidance.counting.says, *load_categories()}
    for rule in guidance.rules:
        source = rule.source
        section = "" if rule.section == "-" else rule.section
        parts = (source.authority, source.document, section, source.year)
        found |= {rule.id, rule.says, rule.says.rstrip(".")}
        found.add(", ".join(part for part in parts if part))
    return found | {one.offer for one in load_categories().values()}


WORDING = {name: wording_of(guidance) for name, guidance in ALL_SETS.items()}


def names_in(food, history, guidance):
    """What people called it, its parts and its places, and what tables say of it."""
    found = {food.name, food.category, *(stay.place for stay in history.stays)}
    found |= {rule.says.rstrip(".") for rule in guidance.plan_for(food).exempt}
    for part in history.components:
        found |= {part.name, *names_in(part.food, part.history, guidance)}
    return found


@given(cases(), all_set_ids, later)
def test_every_line_of_a_verdict_can_be_said_in_arabic(case, set_id, after):
    zone, food, history = case
    guidance = ALL_SETS[set_id]
    now = (history.made_at or history.opened_at or history.stays[0].began) + after
    verdict = judge(food, history, guidance, zone=zone, now=now)
    lines = [status_line(verdict), *verdict.unknown]
    for limit in verdict.limits:
        says, *rest = limit_lines(limit)
        # An authority's own words come first; a kitchen's own rule can be said.
        assert says in WORDING[set_id] or is_sayable("ar", says)
        lines += rest

    data = set()
    for line in lines:
        said = spoken("ar", line)
        data |= set(APART.findall(said))
        left = APART.sub("", said)
        assert not LATIN.search(left) or left.strip() in WORDING[set_id], line
    known = names_in(food, history, guidance) | WORDING[set_id]
    assert {x for x in data if not HOUR.fullmatch(x)} <= known
