"""How hard Hypothesis tries: 1000 repeatable examples, or 200 while developing."""

import os

from hypothesis import settings

# Label stock of whoever runs this is no part of the tests.
os.environ["LIDCLOCK_LABELS"] = os.devnull

settings.register_profile("dev", max_examples=200, deadline=None)
settings.register_profile(
    "ci", max_examples=1000, derandomize=True, deadline=None, print_blob=True
)

# The full gate is the default; CI cannot be talked into the short one.
_in_ci = os.environ.get("CI", "").lower() == "true"
settings.load_profile("ci" if _in_ci else os.environ.get("LIDCLOCK_HYPOTHESIS") or "ci")
