"""How hard Hypothesis tries: 1000 repeatable examples, or 200 while developing.

And where the tests keep their databases: in memory, where the machine has room for it.
"""

import gc
import os
import shutil
import tempfile
from pathlib import Path

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

# A disk is waited for at every commit, which took more time than the tests themselves.
# Nothing here pulls a plug: what a killed program leaves is the same in memory.
MEMORY = Path("/dev/shm")
ROOM = 2 * 2**30  # a run leaves 0.3 GB behind at once, if nothing is cleared


def _holds_tests(folder: Path) -> bool:
    """Whether a run's files fit there, and scripts among them may be started."""
    if not (folder.is_dir() and os.access(folder, os.W_OK)):
        return False
    no_exec = os.statvfs(folder).f_flag & os.ST_NOEXEC
    return not no_exec and shutil.disk_usage(folder).free >= ROOM


# Whoever names a folder knows better. Workers and started programs inherit it.
if "TMPDIR" not in os.environ and _holds_tests(MEMORY):
    os.environ["TMPDIR"] = str(MEMORY)
    tempfile.tempdir = None  # what was asked before is not asked again otherwise


def pytest_collection_finish() -> None:
    """What was collected stays: the collector need not walk it during each test."""
    gc.collect()
    gc.freeze()


def pytest_unconfigure() -> None:
    """Libraries count what is left of theirs when the interpreter ends."""
    gc.unfreeze()
