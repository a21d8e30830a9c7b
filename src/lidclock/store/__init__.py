"""The database: an append-only ledger, and projections that can be rebuilt from it."""

from sqlalchemy import Connection

from lidclock.store.database import Database
from lidclock.store.kitchens import Kitchens
from lidclock.store.ledger import Ledger
from lidclock.store.snapshots import Snapshots

__all__ = ["Connection", "Database", "Kitchens", "Ledger", "Snapshots"]
