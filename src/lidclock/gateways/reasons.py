"""What printers say of themselves, in a cook's words."""

from __future__ import annotations

from collections.abc import Iterable

from lidclock.domain.sentences import Sentence, sentence

_RESUME = sentence("resume it at the printer or its queue")
_SWITCH_ON = sentence("switch it on")
# RFC 8011, section 5.4.12, and the reasons CUPS adds: keyword, what it is, what to do;
# where nothing is said of that, load what the job is for.
_WORDS: dict[str, tuple[Sentence, Sentence | None]] = {
    "media-empty": (sentence("is out of labels"), None),
    "media-needed": (sentence("waits for other labels"), None),
    "input-tray-missing": (sentence("has no tray in"), sentence("put the tray in")),
    "cover-open": (sentence("has its cover open"), sentence("close it")),
    "door-open": (sentence("has a door open"), sentence("close it")),
    "interlock-open": (sentence("has its cover open"), sentence("close it")),
    "media-jam": (sentence("has a label jammed in it"), sentence("clear it")),
    "output-area-full": (
        sentence("has no room for what it prints"),
        sentence("empty its tray"),
    ),
    "output-tray-missing": (sentence("has no output tray"), sentence("put it in")),
    "marker-supply-empty": (
        sentence("is out of ink, toner or ribbon"),
        sentence("renew it"),
    ),
    "toner-empty": (sentence("is out of toner"), sentence("renew it")),
    "spool-area-full": (
        sentence("has no memory left"),
        sentence("let it finish other jobs"),
    ),
    "fuser-over-temp": (sentence("is too hot"), sentence("let it cool")),
    "offline": (sentence("is off line"), sentence("switch it on and check its cable")),
    "connecting-to-device": (sentence("cannot be reached by its queue"), _SWITCH_ON),
    "timed-out": (sentence("does not answer its queue"), _SWITCH_ON),
    "shutdown": (sentence("is switched off or being so"), _SWITCH_ON),
    "paused": (sentence("is paused"), _RESUME),
    "moving-to-paused": (sentence("is being paused"), _RESUME),
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
    if not found:
        return ""
    return _WORDS[found[0]][1] or sentence("load {stock}", stock=stock)
