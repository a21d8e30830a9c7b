"""How the keyboards of this kitchen's devices change what a scanner types."""

from __future__ import annotations

import json
from pathlib import Path

from lidclock.app.files import write_whole
from lidclock.app.session import Session
from lidclock.errors import LidclockError, StoreError
from lidclock.scan.keyboard import KeyMap, learn

KEYBOARDS = "lidclock keyboards 1"
SET_UP = "`lidclock scan --set-up`"


def keyboard_of(session: Session) -> KeyMap | None:
    """How this device's keyboard changes what is scanned; None until it was set up."""
    typed = _keyboards(session).get(session.device)
    return learn(typed) if typed is not None else None


def set_up_keyboard(session: Session, typed: str) -> KeyMap:
    """Learn this device's keyboard from a scan of the set-up symbol, and keep it."""
    keymap = learn(typed)
    known = {**_keyboards(session), session.device: keymap.typed}
    _keep_keyboards(session, known)
    return keymap


def forget_keyboard(session: Session) -> bool:
    """Take scans as they arrive from now on; whether a keyboard was known."""
    known = _keyboards(session)
    if known.pop(session.device, None) is None:
        return False
    _keep_keyboards(session, known)
    return True


def _keyboard_file(session: Session) -> Path:
    """Beside the database; in the user's state folder if that has an address only."""
    where = session.database.where
    if not where.startswith("file:"):
        return Path(where).with_suffix(".keyboards.json")
    import platformdirs

    return Path(platformdirs.user_state_dir("lidclock", ensure_exists=True)) / (
        "keyboards.json"
    )


def _keyboards(session: Session) -> dict[str, str]:
    """The set-up lines as they arrived, by device."""
    path = _keyboard_file(session)
    try:
        document = json.loads(path.read_text("utf-8"))
        if document["format"] != KEYBOARDS:
            raise ValueError(document["format"])
        devices: dict[str, str] = dict(document["devices"])
        for typed in devices.values():
            learn(typed)
    except FileNotFoundError:
        return {}
    except OSError as error:
        raise StoreError(f"cannot read {path}: {error.strerror}") from error
    except (ValueError, KeyError, TypeError, LidclockError) as error:
        raise StoreError(
            f"{path} does not hold what scanning keeps there: delete it, then {SET_UP}"
        ) from error
    return devices


def _keep_keyboards(session: Session, devices: dict[str, str]) -> None:
    document = {"format": KEYBOARDS, "devices": devices}
    text = json.dumps(document, ensure_ascii=False, indent=2)
    write_whole(_keyboard_file(session), [f"{text}\n".encode()])
