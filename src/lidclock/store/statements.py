"""Statements are written in SQLAlchemy Core, turned into text once, and run bare.

Core builds its description of a result anew for each run, which costs a recording more
than its writes do; so rows come straight from the driver, in the order of the columns.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any

import sqlalchemy as sa
from sqlalchemy.dialects.sqlite import dialect, insert

from lidclock.store.database import driver_of

Params = Mapping[str, Any]
_DIALECT = dialect(paramstyle="named")  # one for all databases that are ever opened


@cache
def text_of(statement: sa.ClauseElement) -> str:
    """The SQL text of a statement that takes all its values as named parameters."""
    compiled = statement.compile(dialect=_DIALECT)
    fixed = [name for name, value in compiled.params.items() if value is not None]
    if fixed:
        raise ValueError(f"values written into a statement: {fixed}")
    return str(compiled)


def run(
    connection: sa.Connection, statement: sa.ClauseElement, params: Params
) -> sqlite3.Cursor:
    """Execute a statement of this package within the connection's transaction."""
    text = text_of(statement)
    return driver_of(connection).execute(text, params)


def run_each(
    connection: sa.Connection, statement: sa.ClauseElement, params: Iterable[Params]
) -> sqlite3.Cursor:
    """Execute a statement once for each set of parameters; `rowcount` is of them all.

    What a call costs around its statement is then paid once.
    """
    text = text_of(statement)
    return driver_of(connection).executemany(text, params)


def adding(table: sa.Table) -> sa.ClauseElement:
    """Insert a row unless one of its unique keys is there already."""
    return insert(table).values(_parameters(table)).on_conflict_do_nothing()


def putting(table: sa.Table) -> sa.ClauseElement:
    """Insert a row, or bring the one with its primary key up to date."""
    statement = insert(table).values(_parameters(table))
    fresh = {
        column.name: statement.excluded[column.name]
        for column in table.columns
        if not column.primary_key
    }
    return statement.on_conflict_do_update(
        index_elements=list(table.primary_key.columns), set_=fresh
    )


def listed(name: str) -> sa.Select[Any]:
    """The values of a JSON list given as parameter `name`: an IN of any length."""
    values = sa.func.json_each(sa.bindparam(name, type_=sa.Text)).table_valued("value")
    return sa.select(values.c.value)


def _parameters(table: sa.Table) -> dict[str, Any]:
    return {
        column.name: sa.bindparam(column.name, type_=column.type)
        for column in table.columns
    }
