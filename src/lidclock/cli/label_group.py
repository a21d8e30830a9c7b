"""`label`: what goes onto lids, and what belongs to that."""

from __future__ import annotations

import click

from lidclock.cli.lazy import FallbackGroup

_HERE = "lidclock.cli"
COMMANDS = {
    "preview": f"{_HERE}.label_preview:preview",
    "stock": f"{_HERE}.label_stock:stock",
    "retail": f"{_HERE}.label_retail:retail",
    "calibrate": f"{_HERE}.label_calibrate:calibrate",
}


@click.group(cls=FallbackGroup, lazy=COMMANDS, fallback=f"{_HERE}.label:label")
def label() -> None:
    """Write label sheets, look at them first, choose and add stock, set printers."""
