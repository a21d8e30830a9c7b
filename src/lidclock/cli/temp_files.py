"""`temp export` and `temp load`: readings out of the kitchen and back."""

from __future__ import annotations

from pathlib import Path

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.show import plural

file_argument = click.argument("file", type=click.Path(path_type=Path, dir_okay=False))


@click.command()
@file_argument
@click.option(
    "--sensor",
    "sensors",
    metavar="NAME",
    multiple=True,
    help="Of one sensor alone; may be repeated. [all]",
)
@pass_desk
def export(desk: Desk, file: Path, sensors: tuple[str, ...]) -> None:
    """Write readings to FILE, .csv or .parquet, with sensors, places and offsets.

    What is written is raw, as it was read. Parquet needs pyarrow (`lidclock[fast]`).

    \b
    Example:
      lidclock temp export readings.parquet
    """
    from lidclock.app import temp_files

    with desk.session() as session:
        count = temp_files.export(session, file, sensors)
    click.echo(f"written: {file} ({plural(count, 'reading')})")


@click.command()
@file_argument
@pass_desk
def load(desk: Desk, file: Path) -> None:
    """Merge readings that `temp export` wrote; the same reading twice is one.

    \b
    Example:
      lidclock temp load readings.parquet
    """
    from lidclock.app import temp_files

    with desk.session() as session:
        found = temp_files.import_file(session, file)
    clashes = f", {found.clashes} with another value left out" if found.clashes else ""
    click.echo(
        f"{plural(found.new, 'new reading')}, {found.known} already here{clashes}"
    )
    for note in found.notes:
        click.echo(f"note: {note}")
