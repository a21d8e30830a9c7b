"""Names of months as loggers print them, in the languages most of them speak."""

from __future__ import annotations

import unicodedata

# Unicode CLDR, month names of the Gregorian calendar: en, de, fr, es, it, pt, nl, sv,
# da, fi, pl, cs (from memory, unverified). Enough letters to tell one from the others,
# without accents; no beginning below means different months in two of them.
_BEGINNINGS = (
    ("jan", "ene", "gen", "tammi", "sty", "led"),
    ("feb", "fev", "helmi", "lut", "uno"),
    ("mar", "mrz", "maer", "maa", "mrt", "bre"),
    ("apr", "avr", "abr", "huhti", "kwi", "dub"),
    ("may", "mai", "mag", "maj", "mei", "touko", "kve"),
    ("jun", "juin", "giu", "kesa", "cze", "cerven"),
    ("jul", "juil", "lug", "heina", "lip", "cervenec"),
    ("aug", "aou", "ago", "elo", "sie", "srp"),
    ("sep", "set", "syys", "wrz", "zar"),
    ("oct", "okt", "ott", "out", "loka", "paz", "rij"),
    ("nov", "marras", "lis"),
    ("dec", "dez", "dic", "joulu", "gru", "pro"),
)
_BY_LENGTH = sorted(
    (
        (beginning, number)
        for number, row in enumerate(_BEGINNINGS, start=1)
        for beginning in row
    ),
    key=lambda pair: -len(pair[0]),
)


def month_of(word: str) -> int | None:
    """The month that `word` names or begins to name; None if it names none."""
    folded = unicodedata.normalize("NFKD", word.casefold())
    plain = "".join(one for one in folded if one.isalpha() and one.isascii())
    for beginning, number in _BY_LENGTH:
        if plain.startswith(beginning):
            return number
    return None
