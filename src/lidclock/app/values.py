"""The values that app functions hand out, named for those who show them."""

from lidclock.app.card_facts import Facts
from lidclock.clock.limit import Limit
from lidclock.clock.verdict import Verdict
from lidclock.guidance.model import Category, Plan, Rule
from lidclock.guidance.sets import GuidanceSet
from lidclock.labels.content import Label
from lidclock.labels.stock import Stock
from lidclock.plan.card import Card
from lidclock.plan.proposal import Proposal
from lidclock.plan.takeout import Hours, Option, Refused, Takeout
from lidclock.scan.payload import CodeRead
from lidclock.store import Database

__all__ = [
    "Card",
    "Category",
    "CodeRead",
    "Database",
    "Facts",
    "GuidanceSet",
    "Hours",
    "Label",
    "Limit",
    "Option",
    "Plan",
    "Proposal",
    "Refused",
    "Rule",
    "Stock",
    "Takeout",
    "Verdict",
]
