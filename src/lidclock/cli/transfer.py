"""`export`, `import`, `backup`, `restore`, `rebuild`: out of the kitchen and back."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.options import json_option
from lidclock.cli.show import plural
from lidclock.errors import InputError, RefusedError

if TYPE_CHECKING:
    from collections.abc import Iterable

DIFFERED = 1


@click.command()
@click.option(
    "--format",
    "kind",
    type=click.Choice(["jsonl", "csv"]),
    default="jsonl",
    show_default=True,
    help="Every event, or one row a container.",
)
@click.argument("file", default="-")
@pass_desk
def export(desk: Desk, kind: str, file: str) -> None:
    """Write the whole kitchen to FILE, or to the screen with `-`.

    \b
    Example:
      lidclock export kitchen.jsonl
    """
    from lidclock.app import transfer

    with desk.session() as session:
        if kind == "csv":
            _put(file, transfer.export_csv(session).splitlines())
            return
        with session.read() as unit:
            _put(file, transfer.export_lines(unit))


def _put(file: str, lines: Iterable[str]) -> None:
    from lidclock.app.transfer import write_text

    if file == "-":
        for line in lines:
            click.echo(line)
        return
    if Path(file).exists():
        raise RefusedError(f"{file} exists already: name a new file")
    count = write_text(Path(file), lines)
    click.echo(f"written: {file} ({plural(count, 'line')})")


@click.command("import")
@click.argument("file")
@pass_desk
def import_(desk: Desk, file: str) -> None:
    """Merge the events in FILE into this kitchen; the same event twice is one.

    Without a kitchen, one is made from the head of the file.

    \b
    Example:
      lidclock import kitchen.jsonl
    """
    from lidclock.app import transfer

    document = transfer.read_lines(_text(file).splitlines(), file)
    made = transfer.ensure_kitchen(desk.path, document)
    if made:
        click.echo(f"kitchen {document.kitchen.name!r} is ready in {desk.path}")
    with desk.session() as session, session.write() as unit:
        new = transfer.import_document(unit, document)
    known = len(document.events) - new
    click.echo(f"{plural(new, 'new event')}, {known} already here")


def _text(file: str) -> str:
    try:
        if file == "-":
            return sys.stdin.buffer.read().decode("utf-8")
        return Path(file).read_text(encoding="utf-8")
    except UnicodeDecodeError as error:
        raise InputError(f"{file} is not UTF-8 text") from error
    except OSError as error:
        raise InputError(f"cannot read {file}: {error.strerror}") from error


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@pass_desk
def backup(desk: Desk, file: Path) -> None:
    """Copy the database to FILE while it is in use, and check the copy.

    \b
    Example:
      lidclock backup kitchen-backup.db
    """
    from lidclock.app import transfer

    transfer.backup_to(desk.path, file)
    click.echo(f"backup: {file}")


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--replace", is_flag=True, help="Replace the database that is there.")
@pass_desk
def restore(desk: Desk, file: Path, replace: bool) -> None:
    """Put a backup in the place of the database, whole or not at all.

    \b
    Example:
      lidclock restore kitchen-backup.db --replace
    """
    from lidclock.app import transfer

    transfer.restore_from(file, desk.path, replace=replace)
    click.echo(f"restored: {desk.path}")


@click.command()
@json_option
@click.pass_context
def rebuild(ctx: click.Context, as_json: bool) -> None:
    """Drop every list, make them again from the ledger, and compare.

    \b
    Example:
      lidclock rebuild
    """
    from lidclock.app import transfer
    from lidclock.cli.options import echo_json

    desk = ctx.find_object(Desk)
    assert desk is not None
    with desk.session() as session, session.write() as unit:
        is_equal = transfer.rebuild(unit)
    if as_json:
        echo_json({"equal": is_equal})
    elif is_equal:
        click.echo("rebuilt: nothing differed from the ledger")
    else:
        message = "Error: the lists differed from the ledger; they were put right"
        click.echo(message, err=True)
    ctx.exit(0 if is_equal else DIFFERED)
