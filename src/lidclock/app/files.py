"""Files that are written whole or not at all."""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path

from lidclock.errors import StoreError

_UNFINISHED = ".unfinished"


def write_whole(path: Path, content: Iterable[bytes]) -> None:
    """Write beside the target, flush to disk, and only then give it its name.

    A full disk or a crash leaves what was there before, and no torn file.
    """
    unfinished = path.with_name(path.name + _UNFINISHED)
    try:
        with unfinished.open("wb") as file:
            for part in content:
                file.write(part)
            file.flush()
            os.fsync(file.fileno())
        unfinished.replace(path)
    except OSError as error:
        unfinished.unlink(missing_ok=True)
        raise StoreError(f"cannot write {path}: {error.strerror}") from error
    except BaseException:
        unfinished.unlink(missing_ok=True)
        raise
