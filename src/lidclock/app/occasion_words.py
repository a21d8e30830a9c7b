"""How many to prepare, why, and how it came out, in words that a cook reads."""

from __future__ import annotations

from collections.abc import Iterator

from lidclock.app.occasion_answer import FEW, Answer
from lidclock.app.occasions import History
from lidclock.app.one_off import OneOff
from lidclock.domain.occasions import Occasion
from lidclock.domain.sentences import Figure, figure, sentence, sentences
from lidclock.plan.headcount import Errors

NEARER = sentence("The same as last time was nearer so far.")


def rounded(number: float) -> Figure:
    """`112`, `6.2`: to a tenth, without needless zeros."""
    return figure(round(number, 1))


def answer_lines(found: Answer) -> list[str]:
    """What it goes by, and why so many."""
    return [*_basis_lines(found), *why_lines(found.found)]


def _basis_lines(found: Answer) -> Iterator[str]:
    asked, count = found.found.asked, found.count
    mean, spread = rounded(asked.eaters), rounded(asked.spread)
    if count is None:
        if asked.spread:
            yield sentence(
                "{mean} are expected, give or take {spread}.", mean=mean, spread=spread
            )
            return
        yield sentence("{mean} are expected.", mean=mean)
        yield sentence(
            "Nobody said how far that varies, so exactly that many are taken to come."
        )
        return
    yield sentences(
        "{mean} came, the one time that is known.",
        "{mean} came on average, in {count} times that are known.",
        count.number,
        mean=mean,
    )
    if not asked.spread:
        yield sentence(
            "Nobody can say how far that varies, so exactly that many are taken to "
            "come."
        )
        return
    yield sentence("It varies by {spread} up or down.", spread=spread)
    if count.number < FEW:
        yield sentence("That is few: take how far it varies as a rough guess.")


def why_lines(one: OneOff) -> list[str]:
    """Why so many are enough."""
    asked, share = one.asked, figure(float(f"{100 * one.ratio:.3g}"))
    if asked.short is None or asked.worth is None:
        return [
            sentence(
                "No costs were given: it goes by being enough {share} times out of "
                "100.",
                share=share,
            )
        ]
    return [
        sentence(
            "A missing portion costs {short} and a spare one {worth}: so it should be "
            "enough {share} times out of 100 (critical ratio {ratio}).",
            short=figure(asked.short),
            worth=figure(asked.worth),
            share=share,
            ratio=figure(float(f"{one.ratio:.3g}")),
        ),
        sentence(
            "One fewer costs more in guests who go without than it saves in portions "
            "left over; with one more it is the other way round."
        ),
    ]


def there_line(one: OneOff) -> str:
    """What is there already, and what is to be made beside it; empty without any."""
    there = one.asked.on_hand
    if not there:
        return ""
    if not one.to_make:
        return sentence(
            "{there} are there already: none has to be made.", there=figure(there)
        )
    return sentences(
        "{there} are there already: make {count} more.",
        "{there} are there already: make {count} more.",
        one.to_make,
        there=figure(there),
    )


def occasion_lines(one: Occasion, history: History) -> list[str]:
    """How one came out, beside what was expected and the same as last time."""
    lines = [_came_line(one)]
    last = history.last_time(one.on)
    if last is not None:
        lines.append(
            sentence(
                "The same as last time, {last}, would have been off by {off}.",
                last=figure(last.came),
                off=figure(abs(one.came - last.came)),
            )
        )
    if one.made is not None and one.left is not None and one.missing is not None:
        lines.append(
            sentence(
                "{made} made: {left} left over, {missing} missing.",
                made=figure(one.made),
                left=figure(one.left),
                missing=figure(one.missing),
            )
        )
    if one.wasted is not None:
        lines.append(sentence("{wasted} thrown away.", wasted=figure(one.wasted)))
    return lines


def _came_line(one: Occasion) -> str:
    if one.expected is None or one.off_by is None:
        return sentence("{came} came.", came=figure(one.came))
    return sentence(
        "{came} came, {expected} were expected: off by {off}.",
        came=figure(one.came),
        expected=rounded(one.expected),
        off=rounded(one.off_by),
    )


def next_line(history: History) -> str:
    """What the record says of the next time; empty where there is none."""
    count = history.count
    if count is None:
        return ""
    if count.spread is None:
        return sentence(
            "The next time {mean} are expected, by one time that is on record.",
            mean=rounded(count.mean),
        )
    return sentence(
        "The next time {mean} are expected, give or take {spread}.",
        mean=rounded(count.mean),
        spread=rounded(count.spread),
    )


def error_lines(found: Errors | None) -> list[str]:
    """How forecasts did beside the same as last time."""
    if found is None:
        return []
    line = sentences(
        "What was expected was off by {ours}; the same as last time by {naive} "
        "({count} time).",
        "What was expected was off by {ours} on average; the same as last time by "
        "{naive} ({count} times).",
        found.number,
        ours=rounded(found.forecast),
        naive=rounded(found.last_time),
    )
    return [line, NEARER] if found.last_time < found.forecast else [line]
