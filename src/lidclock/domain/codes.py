"""Container codes: six random symbols and one check symbol."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import lru_cache

# Digits and capitals without A I L O Q U Y Z: letters that look like digits, and
# letters that German and French keyboards swap when a scanner types them.
ALPHABET = "0123456789BCDEFGHJKMNPRSTVWX"
SYMBOLS = 6
LENGTH = SYMBOLS + 1
_VALUE = {symbol: value for value, symbol in enumerate(ALPHABET)}
_LOOKALIKE = str.maketrans({"O": "0", "I": "1", "L": "1"})


def check_symbol(data: str, alphabet: str = ALPHABET) -> str:
    """The ISO 7064 hybrid check symbol (MOD M+1,M) of `data` over `alphabet`.

    ISO/IEC 7064:2003 clause 8 (recursive method); M + 1 must be prime, as 29 is.
    """
    size = len(alphabet)
    carry = size
    for symbol in data:
        carry = (carry + alphabet.index(symbol)) % size or size
        carry = carry * 2 % (size + 1)
    return alphabet[(size + 1 - carry) % size]


def is_code(text: str) -> bool:
    """Whether `text` is a well-formed code with a right check symbol."""
    return len(text) == LENGTH and _is_right(text)


# One scan asks seven times about its code.
@lru_cache(maxsize=1024)
def _is_right(text: str) -> bool:
    return (
        all(symbol in _VALUE for symbol in text)
        and check_symbol(text[:SYMBOLS]) == text[SYMBOLS]
    )


def new_code(pick: Callable[[int], int]) -> str:
    """A fresh code; `pick(n)` gives a random integer below `n`."""
    data = "".join(ALPHABET[pick(len(ALPHABET))] for _ in range(SYMBOLS))
    return data + check_symbol(data)


def normalise(text: str) -> str:
    """What a person meant: capitals, no blanks or hyphens, O as 0, I and L as 1."""
    bare = "".join(symbol for symbol in text.upper() if symbol not in " -\t")
    return bare.translate(_LOOKALIKE)


def spaced(code: str) -> str:
    """The code as people read it aloud: `4F7 K2M0`."""
    return f"{code[:3]} {code[3:]}"


def nearest(text: str, codes: Iterable[str]) -> list[str]:
    """Codes that differ from `text` by one wrong symbol or one swapped pair."""
    return sorted(code for code in codes if _is_slip(text, code))


def _is_slip(typed: str, code: str) -> bool:
    if abs(len(typed) - len(code)) == 1:
        long, short = sorted((typed, code), key=len, reverse=True)
        return any(long[:i] + long[i + 1 :] == short for i in range(len(long)))
    if len(typed) != len(code):
        return False
    wrong = [i for i in range(len(code)) if typed[i] != code[i]]
    if len(wrong) == 1:
        return True
    return (
        len(wrong) == 2
        and wrong[1] == wrong[0] + 1
        and typed[wrong[0]] == code[wrong[1]]
        and typed[wrong[1]] == code[wrong[0]]
    )
