"""The values of `app.waste`, named for those who show them."""

from lidclock.plan.amounts import Amount
from lidclock.plan.causes import CAUSE_WORDS, CAUSES
from lidclock.plan.waste import Balance, Week

__all__ = ["CAUSES", "CAUSE_WORDS", "Amount", "Balance", "Week"]
