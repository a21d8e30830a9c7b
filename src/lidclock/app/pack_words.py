"""What a supplier's symbol says, in the words of every screen."""

from __future__ import annotations

import shlex

from lidclock.app.verdict_words import by_date
from lidclock.domain.moments import say_day
from lidclock.domain.phrases import with_commas
from lidclock.domain.sentences import joined, sentence
from lidclock.scan.gs1 import Pack


def pack_line(pack: Pack) -> str:
    """What a supplier's symbol says, and what to do with it."""
    text = pack.bracketed
    is_plain = all("(" not in value and ")" not in value for _, value in pack.elements)
    # A value with brackets of its own could not be told from the next element.
    symbol = shlex.quote(text) if is_plain else "-"
    return f"{pack_fact(pack)}: `lidclock open --symbol {symbol}`"


def pack_fact(pack: Pack) -> str:
    """The same without how to go on at a keyboard."""
    return sentence("that is a supplier's pack ({facts})", facts=pack_words(pack))


def pack_words(pack: Pack) -> str:
    """`GTIN 09501101530003, lot AB12, use by Thu 31 Dec 2026`."""
    words = [joined("GTIN {number}", number=pack.gtin)]
    if pack.lot:
        words.append(sentence("lot {lot}", lot=pack.lot))
    if pack.use_by:
        words.append(by_date(say_day(pack.use_by), is_house_rule=False))
    if pack.best_before:
        day = say_day(pack.best_before)
        words.append(sentence("best before {day}, which is quality only", day=day))
    return with_commas(words)
