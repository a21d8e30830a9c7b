"""The clock: history and guidance in, verdict out. Pure and deterministic."""

from lidclock.clock.judge import judge
from lidclock.clock.limit import Limit
from lidclock.clock.verdict import Verdict

__all__ = ["Limit", "Verdict", "judge"]
