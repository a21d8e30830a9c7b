"""When food itself measured too warm, for those who show it."""

from lidclock.clock.probed import WarmTime, warm_times

__all__ = ["WarmTime", "warm_times"]
