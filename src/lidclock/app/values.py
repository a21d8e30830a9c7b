"""The values that app functions hand out, named for those who show them."""

from lidclock.clock.verdict import Limit, Verdict
from lidclock.guidance.model import GuidanceSet, Rule
from lidclock.labels.content import Label

__all__ = ["GuidanceSet", "Label", "Limit", "Rule", "Verdict"]
