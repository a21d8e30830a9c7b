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
        module, _, attribute = self.lazy[cmd_name].partition(":")
        command: click.Command = getattr(import_module(module), attribute)
        return command
