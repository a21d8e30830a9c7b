"""`serve`: the kitchen page on this machine, for the phones of the kitchen."""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from lidclock.app.now import now as present
from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.options import echo_lines

if TYPE_CHECKING:
    from lidclock.app.serving import Serving
    from lidclock.app.session import Session

_FILE = click.Path(dir_okay=False, path_type=Path)


@click.command()
@click.option(
    "--host",
    default="127.0.0.1",
    show_default=True,
    metavar="ADDRESS",
    help="Where to listen; 0.0.0.0 lets the network in, and wants a password.",
)
@click.option(
    "--port",
    default=8420,
    show_default=True,
    type=click.IntRange(0, 65535),
    help="The port; 0 takes a free one.",
)
@click.option(
    "--https",
    "is_https",
    is_flag=True,
    help="Encrypt, with a certificate of the kitchen's own: docs/serve.md.",
)
@click.option(
    "--allow-host",
    "allowed",
    multiple=True,
    metavar="NAME",
    help="One more name that browsers reach this by.",
)
@click.option(
    "--announce/--no-announce",
    "is_announced",
    default=True,
    show_default=True,
    help="Tell the network where the page is, unless loopback alone is served.",
)
@click.option(
    "--set-password",
    "asks_password",
    is_flag=True,
    help="Ask for the kitchen's password twice, and keep it.",
)
@click.option(
    "--password-file",
    type=_FILE,
    metavar="FILE",
    help="Keep the password on the first line of FILE.",
)
@pass_desk
def serve(
    desk: Desk,
    *,
    host: str,
    port: int,
    is_https: bool,
    allowed: tuple[str, ...],
    is_announced: bool,
    asks_password: bool,
    password_file: Path | None,
) -> None:
    """Serve the kitchen page: the card, the scan and the shelf.

    \b
    Example:
      lidclock serve
      lidclock serve --host 0.0.0.0 --https --set-password
    """
    from lidclock.app import serving as app
    from lidclock.web.server import listen
    from lidclock.web.server import serve as serve_page

    with desk.session() as session:
        _keep_password(session, password_file, asks_password=asks_password)
        wish = app.Wish(host, is_https, allowed, is_announced)
        found = app.plan_serving(session, wish, desk.path)
        kitchen, now = session.kitchen, session.now
    listener = listen(host, port)
    clock = _held(now) if desk.now_text else present
    port = listener.getsockname()[1]
    with app.announced(found, kitchen.name, port) as told:
        _tell(kitchen.name, told, port)
        serve_page(desk.path, told, listener, clock)
    click.echo("stopped")


def _held(now: datetime) -> Callable[[], datetime]:
    return lambda: now


def _keep_password(session: Session, file: Path | None, *, asks_password: bool) -> None:
    from lidclock.app import serving as app

    password = app.password_in(file) if file else ""
    if asks_password:
        words = "The kitchen's password", "Once more"
        password = click.prompt(words[0], hide_input=True, confirmation_prompt=words[1])
    if password and app.keep_password(session, password):
        click.echo("password set")


def _tell(kitchen: str, found: Serving, port: int) -> None:
    """Where the page is, as words and as a QR, and what is still to do for it."""
    from lidclock.app import serving as app

    addresses = app.addresses_of(found, port)
    click.echo(f"{kitchen} is served at")
    echo_lines([f"  {one}/" for one in addresses])
    if found.announced:
        click.echo(f"announced in this network as {found.announced.name}")
    elif found.unannounced:
        click.echo(f"not announced: {found.unannounced}")
    if found.is_open:
        click.echo("on this machine only; for phones: --host 0.0.0.0 --https")
    elif sys.stdout.isatty():
        click.echo(app.qr_on_terminal(f"{addresses[0]}/"))
    if found.certificates:
        click.echo(f"once on each device, trust it: {addresses[0]}/trust")
        click.echo(f"SHA-256 {found.certificates.fingerprint}")
    elif not found.is_open:
        click.echo(
            "not encrypted: anybody in this network can read along, and phones allow "
            "neither live camera nor offline work; --https changes that"
        )
    click.echo("stop with Ctrl-C")
