"""`temp`: what fridges, freezers and hot holds really did."""

from __future__ import annotations

import click

from lidclock.cli.lazy import LazyGroup

_HERE = "lidclock.cli"
COMMANDS = {"import": f"{_HERE}.temp_import:import_"}


@click.group(cls=LazyGroup, lazy=COMMANDS)
def temp() -> None:
    """Temperatures of this kitchen's places, as loggers and sensors measured them."""
