"""Groups whose commands are imported only when they are called."""

from __future__ import annotations

from collections.abc import Mapping
from importlib import import_module
from typing import Any

import click


class LazyGroup(click.Group):
    """Commands by name, each `module:attribute`; listed in the order given."""

    def __init__(
        self, *args: Any, lazy: Mapping[str, str] | None = None, **more: Any
    ) -> None:
        super().__init__(*args, **more)
        self.lazy = dict(lazy or {})

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Every command, in the order of a cook's day."""
        return [*self.lazy, *super().list_commands(ctx)]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command, imported now."""
        if cmd_name not in self.lazy:
            return super().get_command(ctx, cmd_name)
        return _imported(self.lazy[cmd_name])


class FallbackGroup(LazyGroup):
    """A group that is a command as well: what is no command of its own goes there.

    `label CODE` and `label stock` are both meant to be typed.
    """

    _ITSELF = ""

    def __init__(self, *args: Any, fallback: str, **more: Any) -> None:
        super().__init__(*args, **more)
        self.fallback = fallback

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Put the command itself in front of what names none of the others."""
        asks_help = args[:1] and args[0] in ctx.help_option_names
        if not asks_help and (not args or args[0] not in self.list_commands(ctx)):
            args = [self._ITSELF, *args]
        return super().parse_args(ctx, args)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of that name; this one where there is no name."""
        if cmd_name == self._ITSELF:
            return _imported(self.fallback)
        return super().get_command(ctx, cmd_name)

    def format_help(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """The command's own help, then what else there is."""
        itself = _imported(self.fallback)
        itself.format_usage(ctx, formatter)
        itself.format_help_text(ctx, formatter)
        itself.format_options(ctx, formatter)
        self.format_commands(ctx, formatter)


def _imported(place: str) -> click.Command:
    module, _, attribute = place.partition(":")
    command: click.Command = getattr(import_module(module), attribute)
    return command
