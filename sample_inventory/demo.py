"""The main job on the invented home kitchen, with the commands a cook would type."""

from __future__ import annotations

import os
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).parent
OUT = HERE.parent / "out" / "demo"
# The morning on which the filling's last day is today.
MOMENT = "2026-11-03T07:30"
STEPS = (
    ("Load the invented home kitchen", "import {home}"),
    (
        "A new batch: two tubs of soup, made this morning, and their labels",
        'prep "leek soup" --category soup-stew --allergens milk --count 2 '
        '--total 1150g --made "3 Nov 2026 07:05" --place Fridge --labels {labels}',
    ),
    ("What is due in the next two days", "due --within 2d"),
    ("Why the filling ends today", "show {filling}"),
)


def main() -> int:
    """Run the steps in a fresh folder; the exit status of the first that fails."""
    shutil.rmtree(OUT, ignore_errors=True)
    OUT.mkdir(parents=True)
    environment = {
        **os.environ,
        "LIDCLOCK_DB": str(OUT / "kitchen.db"),
        "LIDCLOCK_NOW": MOMENT,
    }
    labels = OUT / "labels.pdf"
    names = {
        "home": shlex.quote(_shown(HERE / "home.jsonl")),
        "labels": shlex.quote(_shown(labels)),
        "filling": FILLING,
    }
    print(f"The clock of this demonstration stands at {MOMENT}, New York.")
    for heading, template in STEPS:
        command = template.format(**names)
        print(f"\n# {heading}\n$ lidclock {command}", flush=True)
        status = subprocess.run(
            [sys.executable, "-m", "lidclock", *shlex.split(command)],
            env=environment,
            check=False,
        ).returncode
        if status:
            return status
    print(f"\nThe label sheet lies in {_shown(labels)}")
    return 0


def _shown(path: Path) -> str:
    """The path as seen from where the command was typed, if that is shorter."""
    return os.path.relpath(path)


# Tub 2 of the braised filling in home.jsonl.
FILLING = "2MVC31F"

if __name__ == "__main__":
    sys.exit(main())
