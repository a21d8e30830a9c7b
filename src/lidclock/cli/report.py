"""`report`: what became of things over a time."""

from __future__ import annotations

import click

from lidclock.cli.lazy import LazyGroup

_HERE = "lidclock.cli"


@click.group(cls=LazyGroup, lazy={"waste": f"{_HERE}.report_waste:waste"})
def report() -> None:
    """What became of what was made, over a time."""
