"""Templates, and the few words and drawings that they share."""

from __future__ import annotations

from functools import cache, lru_cache, partial
from typing import Any

from fastapi import Request
from jinja2 import Environment, FileSystemLoader, StrictUndefined, pass_context
from jinja2.runtime import Context
from markupsafe import Markup

from lidclock.app.alerts_page import count_alerts
from lidclock.app.lid import Lid
from lidclock.app.now import new_ids
from lidclock.app.session import Session
from lidclock.domain.codes import spaced
from lidclock.domain.sentences import Sentence
from lidclock.web import dates
from lidclock.web.files import TEMPLATES, address
from lidclock.web.forms import FIELD, ONCE, token_of
from lidclock.web.guidance_names import by_name
from lidclock.web.lid import draw, in_language
from lidclock.web.sentences import said, spoken
from lidclock.web.words import (
    SOURCE,
    direction_of,
    is_in_catalogues,
    language_of,
    marked,
    tag_of,
    translate,
    translate_many,
)

# What is raised in English where no language is known, and how a page says it.
_ON_PAGES = {
    "this form is stale: open the page again": marked(
        "This form is stale: open the page again."
    ),
    "Not Found": marked("There is no such page."),
    "Method Not Allowed": marked("This page does not take that."),
}


@cache
def environment() -> Environment:
    """Templates that escape everything, and fail where a value is missing."""
    found = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    found.filters["spaced"] = spaced
    found.filters["said"] = _said
    found.filters["spoken"] = _spoken
    found.filters["in_english"] = _in_english
    found.filters["told"] = _told
    found.filters["ltr"] = _left_to_right
    found.globals["lid"] = _lid
    return found


def render(request: Request, template: str, **values: Any) -> str:
    """One page as HTML; `here` is the path it lies at, for the bar below."""
    language = language_of(request)
    # Also where no form is: else pages that a worker asks for at the same moment as the
    # next page would each give the browser a token, and forms of one would be stale.
    token_of(request)
    return (
        environment()
        .get_template(template)
        .render(
            here=request.url.path,
            files=address(),
            language=language,
            tag=tag_of(language),
            direction=direction_of(language),
            _=translate(language),
            ngettext=translate_many(language),
            say_day=partial(dates.say_day, language),
            say_near_day=partial(dates.say_near_day, language),
            say_moment=partial(dates.say_moment, language),
            say_number=partial(dates.say_number, language),
            csrf=lambda: _field(FIELD, token_of(request)),
            counted_once=lambda: _field(ONCE, new_ids(1)[0]),
            visitor=getattr(request.state, "person", None),
            badge=lambda: _alert_count(request),
            # Where the ledger stood before this page was made: static/live.js.
            position=getattr(request.state, "position", ""),
            **values,
        )
    )


@pass_context
def _lid(context: Context, lid: Lid, size: int = 96) -> Markup:
    """A lid, its words in the language of the page."""
    return _drawn(in_language(_language(context), lid), size)


# On a full shelf many look the same.
@lru_cache(maxsize=4096)
def _drawn(lid: Lid, size: int) -> Markup:
    return Markup(draw(lid, size))


def _field(name: str, value: str) -> Markup:
    """A hidden field that forms carry."""
    return Markup('<input type="hidden" name="{}" value="{}">').format(name, value)


@pass_context
def _said(context: Context, words: str) -> Markup | str:
    """A sentence of the program in the language of the page."""
    return said(_language(context), by_name(words))


@pass_context
def _spoken(context: Context, words: str) -> str:
    """The same where no element can stand, as in an attribute."""
    return spoken(_language(context), by_name(words))


def _language(context: Context) -> str:
    # In a macro that was taken in without its page, nothing tells the language.
    return context.get("language") or SOURCE


@pass_context
def _left_to_right(context: Context, data: str) -> str:
    """Data such as `9 °C`, held together in text that runs from right to left."""
    is_rtl = direction_of(_language(context)) == "rtl"
    return f"\u2066{data}\u2069" if is_rtl else data


@pass_context
def _in_english(context: Context, text: object) -> object:
    """A sentence that has no translation yet, marked so that it is read aloud right."""
    # In a macro that was taken in without its page, nothing tells the language.
    if context.get("language") == SOURCE or not text:
        return text
    return Markup('<span lang="en" dir="ltr">{}</span>').format(text)


@pass_context
def _told(context: Context, message: str) -> object:
    """A refusal: translated where there are words for it, else English, marked so."""
    if isinstance(message, Sentence):
        return said(_language(context), message)
    text = _ON_PAGES.get(message, message)
    if is_in_catalogues(text):
        return translate(context["language"])(text)
    return _in_english(context, text)


def _alert_count(request: Request) -> int:
    """How many alerts the bar shows, asked once a page; none without a kitchen."""
    session: Session | None = getattr(request.state, "kitchen_session", None)
    if session is None:
        return 0
    known: int | None = getattr(request.state, "alert_count", None)
    if known is None:
        known = request.state.alert_count = count_alerts(session)
    return known
