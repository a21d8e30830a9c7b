"""Every error a person can meet, with the exit code it ends a command with."""

from __future__ import annotations


class LidclockError(Exception):
    """A mistake, or a request to refuse; one line says what to do.

    `fact` is the line for a page, where that differs: without how to go on at a
    keyboard. A sentence of the program can be said in the language of the page.
    """

    exit_code = 10

    def __init__(self, message: str = "", fact: str = "") -> None:
        super().__init__(message)
        self.fact = fact or message


class InputError(LidclockError):
    """Malformed input: a time, a mass, a document. Exit 2, as for wrong usage."""

    exit_code = 2


class FaultsError(InputError):
    """A document with faults in it: of each its place, and what is wrong there."""

    def __init__(self, message: str, faults: tuple[tuple[str, str], ...]) -> None:
        super().__init__(message)
        self.faults = faults


class ReadingError(InputError):
    """What a sensor sent is no reading; `kind` is the matter in one keyword."""

    def __init__(self, message: str, kind: str = "") -> None:
        super().__init__(message)
        self.kind = kind


class UnknownThingError(LidclockError):
    """A code, food, place or set that this kitchen does not have."""

    exit_code = 11


class OddFactError(LidclockError):
    """A fact that may be true but is odd; it is recorded with `--anyway`."""

    exit_code = 12

    def __init__(self, fact: str, how: str = "") -> None:
        super().__init__(f"{fact}; {how}" if how else fact, fact)


class FilledAgainError(OddFactError):
    """The same was filled a moment ago, by the act `act`."""

    def __init__(self, fact: str, act: str) -> None:
        super().__init__(fact)
        self.act = act


class RefusedError(LidclockError):
    """A request that cannot be carried out in the state things are in."""

    exit_code = 13


class EditClashError(RefusedError):
    """Somebody else changed meanwhile what was to be changed; nothing is saved.

    `changed` are the names with what they were when they were shown, and are now.
    """

    def __init__(self, changed: tuple[tuple[str, str, str], ...]) -> None:
        what = "; ".join(f"{name} was {was}, is {now}" for name, was, now in changed)
        super().__init__(f"somebody else changed this meanwhile: {what}")
        self.changed = changed


class StoreError(LidclockError):
    """The database cannot be used: missing, locked, read-only, foreign, full."""

    exit_code = 14


class EventConflictError(StoreError):
    """Two different events bear the same id."""

    exit_code = 15


class GuidanceError(LidclockError):
    """A guidance file is malformed or lacks a source."""

    exit_code = 16


class LabelError(LidclockError):
    """A label that cannot be drawn without losing something that matters."""

    exit_code = 17


class UnknownStockError(LabelError):
    """No label stock of that name."""


class PrinterError(LidclockError):
    """A printer that did not print; `reason` is the matter in one keyword."""

    exit_code = 18

    def __init__(self, message: str, reason: str = "") -> None:
        super().__init__(message)
        self.reason = reason


class GatewayError(LidclockError):
    """Something outside that cannot be reached, or an address that is taken."""

    exit_code = 19


class WrongSecretError(RefusedError):
    """A password, code, token or pairing that is not right, or not any more."""


class TooOftenError(RefusedError):
    """Too many wrong ones: nobody may try again for `wait_s` seconds."""

    def __init__(self, message: str, wait_s: int) -> None:
        super().__init__(message)
        self.wait_s = wait_s


class NotAllowedError(RefusedError):
    """Something that a role may not do."""
