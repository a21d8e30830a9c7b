"""`assess`: what-if without a kitchen."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from zoneinfo import ZoneInfo

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.errors import InputError


@click.command()
@click.argument("file", default="-")
@click.option("--indent", is_flag=True, help="Spread the answer over lines.")
@pass_desk
def assess(desk: Desk, file: str, indent: bool) -> None:
    """Judge one JSON document (a food and its history) and print the verdict as JSON.

    \b
    Example:
      echo '{"guidance": "us-home", "zone": "America/New_York",
             "as_of": "2026-11-02T18:00", "food": {"category": "soup-stew"},
             "history": [{"at": "2026-10-31T17:10", "did": "made"}]}' |
        lidclock assess - --indent
    """
    from lidclock.app.assess import assess as judge

    verdict = judge(read_text(file), desk.now(ZoneInfo("UTC")))
    click.echo(json.dumps(verdict, indent=2 if indent else None))


def read_text(file: str) -> str:
    """The document in a file, or in the input where it is called -."""
    try:
        if file == "-":
            raw: bytes = sys.stdin.buffer.read()
        else:
            raw = Path(file).read_bytes()
        return raw.decode("utf-8")
    except UnicodeDecodeError as error:
        raise InputError(f"{file}: not UTF-8 text") from error
    except OSError as error:
        raise InputError(f"cannot read {file}: {error.strerror}") from error
