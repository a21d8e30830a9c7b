"""The card and its proposals as JSON-ready data, for the command line and the API."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lidclock.app.card_words import overtaken_words
from lidclock.app.instants import to_second
from lidclock.app.today import look

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

    from lidclock.app.card_facts import Facts
    from lidclock.app.session import Session
    from lidclock.plan.card import Card
    from lidclock.plan.proposal import Proposal


def card_now(session: Session) -> dict[str, Any]:
    """The card of this moment; a later answer names a proposal by its key."""
    return card_json(*look(session))


def card_json(card: Card, facts: Facts) -> dict[str, Any]:
    """A card: what it shows, what did not fit, and what was said to the rest."""
    zone = facts.zone
    groups = ("more", "agreed", "put_off", "declined")
    return {
        "now": to_second(card.now, zone),
        "next": to_second(card.next_at, zone),
        "money": facts.choices.money or None,
        "proposals": [
            {**_one(one, card, facts), "agreed": one.key in card.due}
            for one in card.shown
        ],
        **{
            group: [_one(one, card, facts) for one in getattr(card, group)]
            for group in groups
        },
    }


def _one(one: Proposal, card: Card, facts: Facts) -> dict[str, Any]:
    """A proposal; where it was agreed to, its reasons say first what overtook it."""
    data = proposal_json(one, facts.zone)
    if one.key in card.due or one in card.agreed:
        data["why"] = [*map(str, overtaken_words(one, facts)), *data["why"]]
    return data


def proposal_json(one: Proposal, zone: ZoneInfo) -> dict[str, Any]:
    """A proposal, in English; instants carry the kitchen's offset."""
    return {
        "kind": one.kind,
        "key": one.key,
        "says": str(one.says),
        "at": to_second(one.at, zone),
        "before": to_second(one.before, zone),
        "containers": [
            {"code": x.code, "portions": x.portions, "whole": x.is_whole}
            for x in one.picks
        ],
        "steps": [
            {
                "at": to_second(x.at, zone),
                "code": x.code,
                "to": x.to,
                "ready_at": to_second(x.ready_at, zone),
            }
            for x in one.steps
        ],
        "to": one.to or None,
        "meal": one.meal or None,
        "wants": [{"food": food, "portions": n} for food, n in one.wants],
        "loss": {
            "portions": round(one.loss.portions, 4),
            "money": round(one.loss.money, 4),
            "harm": one.loss.is_harm,
        },
        "why": [str(reason) for reason in one.why],
        "hint": one.hint or None,
    }
