"""The entry: global options, and the one place that turns errors into exits."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from typing import Any, NoReturn

import click

from lidclock import __version__
from lidclock.cli.desk import Desk
from lidclock.cli.lazy import LazyGroup
from lidclock.cli.screen import plain_screen
from lidclock.errors import LidclockError

UNEXPECTED, USAGE, UNUSABLE, STOPPED = 1, 2, 14, 130
_HERE = "lidclock.cli"
COMMANDS = {
    "init": f"{_HERE}.init:init",
    "food": f"{_HERE}.food:food",
    "place": f"{_HERE}.place:place",
    "prep": f"{_HERE}.prep:prep",
    "open": f"{_HERE}.pack:open_pack",
    "adopt": f"{_HERE}.pack:adopt",
    "scan": f"{_HERE}.scan:scan",
    "today": f"{_HERE}.today:today",
    "accept": f"{_HERE}.today:accept",
    "decline": f"{_HERE}.today:decline",
    "put-off": f"{_HERE}.today:put_off",
    "make": f"{_HERE}.make:make",
    "pull": f"{_HERE}.pull:pull",
    "prep-list": f"{_HERE}.prep_list:prep_list",
    "order": f"{_HERE}.order:order",
    "due": f"{_HERE}.due:due",
    "alert": f"{_HERE}.due:alert",
    "take-out": f"{_HERE}.take_out:take_out",
    "list": f"{_HERE}.stock:list_stock",
    "calendar": f"{_HERE}.calendar:calendar",
    "meal": f"{_HERE}.meal:meal",
    "plan": f"{_HERE}.plan:plan",
    "outage": f"{_HERE}.outage:outage",
    "temp": f"{_HERE}.temp:temp",
    "show": f"{_HERE}.detail:show",
    "find": f"{_HERE}.find:find",
    "report": f"{_HERE}.report:report",
    "trace": f"{_HERE}.trace:trace",
    "slip": f"{_HERE}.slip:slip",
    "take": f"{_HERE}.portions:take",
    "split": f"{_HERE}.portions:split",
    "combine": f"{_HERE}.portions:combine",
    "cool": f"{_HERE}.cool:cool",
    "cooled": f"{_HERE}.facts:cooled",
    "reheated": f"{_HERE}.facts:reheated",
    "missing": f"{_HERE}.facts:missing",
    "stock-take": f"{_HERE}.stock_take:stock_take",
    "correct": f"{_HERE}.fix:correct",
    "undo": f"{_HERE}.fix:undo",
    "label": f"{_HERE}.label_group:label",
    "printer": f"{_HERE}.printer:printer",
    "export": f"{_HERE}.transfer:export",
    "import": f"{_HERE}.transfer:import_",
    "backup": f"{_HERE}.transfer:backup",
    "restore": f"{_HERE}.transfer:restore",
    "rebuild": f"{_HERE}.transfer:rebuild",
    "guidance": f"{_HERE}.guidance:guidance",
    "assess": f"{_HERE}.assess:assess",
    "growth": f"{_HERE}.growth:growth",
    "ready": f"{_HERE}.ready:ready",
    "serve": f"{_HERE}.serve:serve",
    "recipe": f"{_HERE}.recipe:recipe",
    "lethality": f"{_HERE}.lethality:lethality",
}


class Program(LazyGroup):
    """The whole program: whatever goes wrong leaves one line and an exit code."""

    def main(  # type: ignore[override]
        self, args: Sequence[str] | None = None, **more: Any
    ) -> NoReturn:
        """Run one command and exit; exit codes are in docs/exit-codes.md."""
        with plain_screen():
            code = self._code(args, more)
        sys.exit(code)

    def _code(self, args: Sequence[str] | None, more: dict[str, Any]) -> int:
        try:
            code = super().main(args, **{**more, "standalone_mode": False})
        except LidclockError as error:
            return _complain(str(error), error.exit_code)
        except click.exceptions.NoArgsIsHelpError as error:
            error.show()
            return USAGE
        except click.ClickException as error:
            message = error.format_message().rstrip(".")
            return _complain(message + _help_hint(error), USAGE)
        except click.Abort:
            return _complain("stopped", STOPPED, head="")
        except OSError as error:
            what = f"input or output failed: {error.strerror or error}"
            return _complain(f"{what}; check the disk and repeat", UNUSABLE)
        except Exception as error:  # the outermost edge
            if os.environ.get("LIDCLOCK_DEBUG"):
                import traceback

                traceback.print_exc()
            what = f"unexpected: {type(error).__name__}: {error}"
            return _complain(
                f"{what}; set LIDCLOCK_DEBUG=1 to see where, and report it", UNEXPECTED
            )
        return code if isinstance(code, int) else 0


def _complain(message: str, code: int, head: str = "Error: ") -> int:
    click.echo(head + " ".join(message.split()), err=True)
    return code


def _help_hint(error: click.ClickException) -> str:
    context = getattr(error, "ctx", None)
    if context is None:
        return ""
    return f" (see `{context.command_path.strip()} --help`)"


_SETTINGS = {"help_option_names": ["-h", "--help"], "max_content_width": 100}


@click.group(cls=Program, lazy=COMMANDS, context_settings=_SETTINGS)
@click.option(
    "--now",
    envvar="LIDCLOCK_NOW",
    metavar="TIME",
    help="Pretend it is TIME: for demos and tests. [env: LIDCLOCK_NOW]",
)
@click.option(
    "--who",
    envvar="LIDCLOCK_WHO",
    metavar="HANDLE",
    default="",
    help="Who is recording. [env: LIDCLOCK_WHO; LIDCLOCK_DEVICE names the device]",
)
@click.option(
    "--db",
    metavar="FILE",
    help="The kitchen's database file. [env: LIDCLOCK_DB]",
)
@click.version_option(__version__, prog_name="lidclock")
@click.pass_context
def main(ctx: click.Context, now: str | None, who: str, db: str | None) -> None:
    """Every lid gets a clock: what is in it, its last day, what to do next.

    \b
    Start with:
      lidclock init
      lidclock prep "bean stew" --category soup-stew --count 4 --place Fridge
      lidclock due
    """
    ctx.obj = Desk(now_text=now or "", who=who, db=db or "")


def run(args: Sequence[str] | None = None) -> NoReturn:
    """Run the program with the process's arguments, and exit."""
    try:
        main(args, prog_name="lidclock")
    except KeyboardInterrupt:
        click.echo("stopped", err=True)
    sys.exit(STOPPED)
