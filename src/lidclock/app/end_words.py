"""How a container ended and why, as words; a reason that somebody typed stays data."""

from __future__ import annotations

from collections.abc import Mapping

from lidclock.domain.phrases import told_of
from lidclock.domain.sentences import Sentence, sentence

_ENDS: Mapping[str, Sentence] = {
    "used": sentence("used"),
    "discarded": sentence("discarded"),
    "given": sentence("given"),
    "missing": sentence("missing"),
    "split": sentence("split"),
    "combined": sentence("combined"),
}
# The reasons that pages and the card offer, and the one for none.
_REASONS: Mapping[str, Sentence] = {
    "past its day": sentence("past its day"),
    "made too much": sentence("made too much"),
    "mystery": sentence("mystery"),
    "cold failure": sentence("cold failure"),
    "quality": sentence("quality"),
    "accident": sentence("accident"),
    "smell": sentence("smell"),
    "not said": sentence("not said"),
}


def end_words(kind: str) -> str:
    """`used`, `discarded`: what ended it."""
    return _ENDS.get(kind, kind)


def reason_words(reason: str) -> str:
    """`smell`, or what somebody typed."""
    return _REASONS.get(reason, reason)


def end_with_reason(kind: str, reason: str) -> str:
    """`discarded: smell`."""
    end = end_words(kind)
    return told_of(end, reason_words(reason)) if reason else end
