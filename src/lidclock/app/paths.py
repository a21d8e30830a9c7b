"""Where the database lies: `LIDCLOCK_DB`, else the user's data folder."""

from __future__ import annotations

import os
from pathlib import Path


def database_path() -> Path:
    """The kitchen's database file; its folder may not exist yet."""
    chosen = os.environ.get("LIDCLOCK_DB")
    if chosen:
        return Path(chosen)
    import platformdirs

    return Path(platformdirs.user_data_dir("lidclock")) / "kitchen.db"
