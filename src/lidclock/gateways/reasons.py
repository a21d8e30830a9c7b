"""What printers say of themselves, in a cook's words."""

from __future__ import annotations

from collections.abc import Iterable

# RFC 8011, section 5.4.12, and the reasons CUPS adds: keyword, what it is, what to do.
_WORDS = {
    "media-empty": ("is out of labels", "load {stock}"),
    "media-needed": ("waits for other labels", "load {stock}"),
    "input-tray-missing": ("has no tray in", "put the tray in"),
    "cover-open": ("has its cover open", "close it"),
    "door-open": ("has a door open", "close it"),
    "interlock-open": ("has its cover open", "close it"),
    "media-jam": ("has a label jammed in it", "clear it"),
    "output-area-full": ("has no room for what it prints", "empty its tray"),
    "output-tray-missing": ("has no output tray", "put it in"),
    "marker-supply-empty": ("is out of ink, toner or ribbon", "renew it"),
    "toner-empty": ("is out of toner", "renew it"),
    "spool-area-full": ("has no memory left", "let it finish other jobs"),
    "fuser-over-temp": ("is too hot", "let it cool"),
    "offline": ("is off line", "switch it on and check its cable"),
    "connecting-to-device": ("cannot be reached by its queue", "switch it on"),
    "timed-out": ("does not answer its queue", "switch it on"),
    "shutdown": ("is switched off or being so", "switch it on"),
    "paused": ("is paused", "resume it at the printer or its queue"),
    "moving-to-paused": ("is being paused", "resume it at the printer or its queue"),
}
_SUFFIXES = ("-error", "-warning", "-report")


def plain(reasons: Iterable[str]) -> tuple[str, ...]:
    """The keywords without their degree and without `none`, each once."""
    bare: dict[str, None] = {}
    for reason in reasons:
        for suffix in _SUFFIXES:
            reason = reason.removesuffix(suffix)
        if reason != "none":
            bare[reason] = None
    return tuple(bare)


def holding_up(reasons: Iterable[str]) -> tuple[str, ...]:
    """Those of the keywords that keep a printer from going on, the plainest first."""
    known = plain(reasons)
    return tuple(reason for reason in _WORDS if reason in known)


def say_state(reasons: Iterable[str]) -> str:
    """The plainest hindrance in words, such as `is out of labels`; empty if none."""
    found = holding_up(reasons)
    return _WORDS[found[0]][0] if found else ""


def say_remedy(reasons: Iterable[str], stock: str) -> str:
    """What to do about it; empty where nothing is known to help."""
    found = holding_up(reasons)
    return _WORDS[found[0]][1].format(stock=stock) if found else ""
