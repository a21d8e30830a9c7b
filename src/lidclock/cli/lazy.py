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

    def __init__(self, *args: Any, fallback: str, **more: Any) -> None:
        super().__init__(*args, **more)
        self.fallback = fallback

    def make_context(
        self,
        info_name: str | None,
        args: list[str],
        parent: click.Context | None = None,
        **extra: Any,
    ) -> click.Context:
        """The group's context, or the command's where `args` name none of the group."""
        asks_help = parent.help_option_names if parent else ["--help"]
        if args and args[0] in (*self.lazy, *self.commands, *asks_help):
            return super().make_context(info_name, args, parent, **extra)
        itself = _imported(self.fallback)
        ctx = itself.make_context(info_name, args, parent, **extra)
        self._check_order(itself, ctx)
        return ctx

    def _check_order(self, itself: click.Command, ctx: click.Context) -> None:
        """Options stand behind the name of a command, never before it."""
        for param in itself.params:
            if not isinstance(param, click.Argument):
                continue
            given = ctx.params.get(param.name or "") or ()
            for word in (given,) if isinstance(given, str) else given:
                if word in self.lazy:
                    ctx.fail(
                        f"{word!r} comes first and its options after it: "
                        f"`{ctx.command_path} {word} ...`"
                    )

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
