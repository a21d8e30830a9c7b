"""What a proposal to freeze says: how many, the odds, and what either costs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lidclock.domain.sentences import Figure, figure, sentence

if TYPE_CHECKING:
    from lidclock.app.card_facts import Facts


def freeze_words(facts: Facts, stay: int, frozen: int, names: str) -> str:
    """`keep 4, freeze 2 tonight: bun dough box 5 and 6`."""
    known = {"frozen": figure(frozen), "names": names}
    is_evening = facts.now.astimezone(facts.zone).hour >= 12
    if not stay:
        if is_evening:
            return sentence("freeze {frozen} tonight: {names}", **known)
        return sentence("freeze {frozen} today: {names}", **known)
    known["kept"] = figure(stay)
    if is_evening:
        return sentence("keep {kept}, freeze {frozen} tonight: {names}", **known)
    return sentence("keep {kept}, freeze {frozen} today: {names}", **known)


def odds_words(rank: int, count: int, odds: float) -> str:
    """How likely it is that a portion is eaten while it may be."""
    return sentence(
        "odds that portion {rank} of {count} is eaten in time: {percent}%",
        rank=figure(rank),
        count=figure(count),
        percent=_percent(odds),
    )


def worth_words(worth: float, freezing: float) -> str:
    """From which odds on freezing is worth what it costs."""
    return sentence(
        "a portion wasted costs {worth}, freezing one {freezing}: worth it where the "
        "odds are below {percent}%",
        worth=Figure(f"{worth:g}"),
        freezing=Figure(f"{freezing:g}"),
        percent=_percent(1 - freezing / worth),
    )


def _percent(share: float) -> Figure:
    return Figure(f"{share:.0%}".removesuffix("%"))
