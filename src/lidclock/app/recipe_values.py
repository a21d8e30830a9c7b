"""Numbers and texts out of a recipe's document: exact, and every fault is kept."""

from __future__ import annotations

import json
import tomllib
from decimal import Decimal
from fractions import Fraction
from typing import Any

from lidclock.app.documents import Faults, once, shown
from lidclock.domain.joiners import misplaced_joiner, without_joiners
from lidclock.domain.sentences import figure, sentence
from lidclock.errors import InputError
from lidclock.plan.units import Amount, read_amount, read_number

_LONGEST_TEXT = 500
_LONGEST_NAME = 120
# Beyond these a number is a slip, and would cost time: 1e999999 has a million figures.
_MOST_FIGURES, _FARTHEST = 40, 12
_PER_HUNDRED = 100


class Values(Faults):
    """Reads single values; what is wrong becomes a fault, and None comes back."""

    def name(self, where: str, value: Any) -> str | None:
        """One line of text that prints."""
        if value is None:
            self.fault(where, sentence("is missing; give a name"))
            return None
        if not isinstance(value, str):
            self.fault(where, sentence("give a name, not {what}", what=shown(value)))
            return None
        bare = " ".join(value.split())
        prints = without_joiners(bare).isprintable() and not misplaced_joiner(bare)
        if not bare or not prints:
            self.fault(
                where, sentence("{what} is not a name that prints", what=shown(value))
            )
            return None
        if len(bare) > _LONGEST_NAME:
            self.fault(
                where,
                sentence(
                    "{what} is longer than {most} characters",
                    what=shown(value),
                    most=figure(_LONGEST_NAME),
                ),
            )
            return None
        return bare

    def text(self, where: str, value: Any) -> str:
        """Free text, at most some lines of it; empty where there is none."""
        if value is None:
            return ""
        if not isinstance(value, str) or len(value) > _LONGEST_TEXT:
            self.fault(
                where,
                sentence(
                    "write a text of at most {most} characters",
                    most=figure(_LONGEST_TEXT),
                ),
            )
            return ""
        return " ".join(value.split())

    def number(
        self,
        where: str,
        value: Any,
        low: Fraction | int,
        high: Fraction | int,
        *,
        share: bool = False,
    ) -> Fraction | None:
        """An exact number above `low`, or equal to it if that is 0, up to `high`.

        A text may hold a fraction such as 3/4, and of a `share` also a percentage.
        """
        exact = self._exact(where, value, share=share)
        if exact is None:
            return None
        if not low <= exact <= high:
            beyond = sentence(
                "{what} lies outside {low} to {high}",
                what=shown(value),
                low=figure(float(low)),
                high=figure(float(high)),
            )
            if share:
                beyond = sentence(
                    "{beyond}; write a share such as 0.75 or 75%", beyond=beyond
                )
            self.fault(where, beyond)
            return None
        return exact

    def positive(self, where: str, value: Any, high: int) -> Fraction | None:
        """An exact number above 0, up to `high`."""
        found = self.number(where, value, 0, high)
        if found == 0:
            self.fault(where, sentence("0 is nothing; give more, or leave it out"))
            return None
        return found

    def _exact(self, where: str, value: Any, *, share: bool) -> Fraction | None:
        if value is None:
            self.fault(where, sentence("is missing; give a number"))
            return None
        if isinstance(value, str):
            bare = value.strip()
            percent = share and bare.endswith("%")
            found = read_number(bare.removesuffix("%") if percent else bare)
            if found is None:
                self.fault(
                    where,
                    sentence(
                        "give a number of 0 or more, not {what}", what=shown(value)
                    ),
                )
                return None
            return found / _PER_HUNDRED if percent else found
        if isinstance(value, bool) or not isinstance(value, int | Decimal):
            self.fault(where, sentence("give a number, not {what}", what=shown(value)))
            return None
        if isinstance(value, int):
            value = Decimal(min(max(value, -(10**_FARTHEST)), 10**_FARTHEST))
        if not value.is_finite():
            self.fault(where, f"{value} is no number; give one, or leave it out")
            return None
        too_far = value and not -_FARTHEST <= value.adjusted() <= _FARTHEST
        if too_far or len(value.as_tuple().digits) > _MOST_FIGURES:
            self.fault(where, f"{shown(value)} cannot be right; write fewer figures")
            return None
        return Fraction(value)

    def amount(self, where: str, value: Any) -> Amount | None:
        """A mass or a volume with its unit; a bare number is grams."""
        if not isinstance(value, str):
            grams = self._exact(where, value, share=False)
            return None if grams is None else Amount(shown(value), grams)
        bare = read_number(value)
        if bare is not None:
            return Amount(value, bare)
        try:
            return read_amount(value)
        except InputError as error:
            self.fault(where, error.fact)
            return None

    def grams(
        self, where: str, value: Any, density: Fraction | None, most_g: int
    ) -> Fraction | None:
        """A mass above nothing, up to `most_g`; a volume is weighed by its density."""
        amount = self.amount(where, value)
        if amount is None:
            return None
        try:
            grams = amount.grams(density)
        except InputError as error:
            self.fault(where, error.fact)
            return None
        if not 0 < grams <= most_g:
            self.fault(
                where,
                sentence(
                    "{what} cannot be right; it must be above 0 g and at most "
                    "{most} kg",
                    what=shown(value),
                    most=figure(most_g // 1000),
                ),
            )
            return None
        return grams

    def whole(self, where: str, value: Any, high: int) -> int | None:
        """A whole number from 1 up to `high`."""
        found = self.positive(where, value, high)
        if found is not None and found.denominator != 1:
            self.fault(
                where, sentence("{what} is not a whole number", what=shown(value))
            )
            return None
        return None if found is None else int(found)


def parsed(text: str, *, is_toml: bool) -> Any:
    """The document, its numbers as exact decimals; InputError if it cannot be read."""
    bare = text.removeprefix("\ufeff")
    try:
        if is_toml:
            return tomllib.loads(bare, parse_float=Decimal)
        return json.loads(
            bare,
            parse_float=Decimal,
            parse_int=Decimal,
            parse_constant=Decimal,
            object_pairs_hook=once,
        )
    except (ValueError, ArithmeticError, RecursionError) as error:
        kind = "TOML" if is_toml else "JSON"
        raise InputError(f"not a {kind} document: {error}") from error
