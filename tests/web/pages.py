"""Reading pages as a browser without scripts does: headings, labels, links, forms."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from html import unescape
from html.parser import HTMLParser

_VOID = frozenset("area base br col hr img input link meta source wbr".split())
_LABELLED = frozenset({"input", "select", "textarea"})
_NEEDS_NONE = frozenset({"hidden", "submit", "button"})


@dataclass
class Page:
    """What matters of one page; `unlabelled` are the fields that nothing names."""

    headings: list[str] = field(default_factory=list)
    title: str = ""
    links: list[str] = field(default_factory=list)
    actions: list[str] = field(default_factory=list)
    sources: list[str] = field(default_factory=list)
    unlabelled: list[str] = field(default_factory=list)
    forms_without_token: list[str] = field(default_factory=list)
    nameless: list[str] = field(default_factory=list)
    ids: list[str] = field(default_factory=list)
    inline: list[str] = field(default_factory=list)


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.page = Page()
        self.open: list[str] = []
        self.form: dict[str, str] | None = None
        self.has_token = False
        self.said = ""

    def handle_starttag(self, tag, attrs):
        found = dict(attrs)
        page = self.page
        self._look(tag, found)
        if tag == "h1":
            page.headings.append("")
        elif tag == "a":
            page.links.append(found.get("href") or "")
        elif tag in ("img", "script", "link"):
            page.sources.append(found.get("src") or found.get("href") or "")
        elif tag == "form":
            self.form, self.has_token = found, False
            page.actions.append(f"{found['method']} {found['action']}")
        if tag in ("a", "button", "label"):
            self.said = found.get("aria-label") or ""
        if tag not in _VOID:
            self.open.append(tag)

    def _look(self, tag, found):
        page = self.page
        if "id" in found:
            page.ids.append(found["id"])
        if "style" in found or any(name.startswith("on") for name in found):
            page.inline.append(tag)
        if tag in _LABELLED and found.get("type") not in _NEEDS_NONE:
            is_named = "label" in self.open or "aria-label" in found
            if not is_named:
                page.unlabelled.append(found.get("name") or tag)
        if tag == "input" and found.get("name") == "csrf":
            self.has_token = True
        if tag == "img" and not found.get("alt"):
            page.nameless.append(f"img {found.get('src')}")

    def handle_data(self, data):
        if "h1" in self.open:
            self.page.headings[-1] += data
        if "title" in self.open:
            self.page.title += data
        if "script" in self.open and data.strip():
            self.page.inline.append("script")
        self.said += data

    def handle_endtag(self, tag):
        if tag in self.open:
            while self.open.pop() != tag:
                pass
        if tag in ("a", "button") and not self.said.strip():
            self.page.nameless.append(tag)
        if tag == "form" and self.form is not None:
            if self.form["method"] == "post" and not self.has_token:
                self.page.forms_without_token.append(self.form["action"])
            self.form = None


def read_page(html: str) -> Page:
    """The page, its words as a person sees them."""
    reader = _Reader()
    reader.feed(html)
    page = reader.page
    page.headings = [" ".join(one.split()) for one in page.headings]
    page.title = " ".join(page.title.split())
    return page


def hidden_fields(html: str, action: str, button: str = "") -> dict[str, str]:
    """The hidden fields of the form with that action, and with that button if named."""
    for form in re.findall(rf'<form[^>]*action="{action}".*?</form>', html, re.S):
        if button in form:
            pairs = re.findall(
                r'<input type="hidden" name="([^"]*)" value="([^"]*)"', form
            )
            return {name: unescape(value) for name, value in pairs}
    raise AssertionError(f"no form for {action} with {button!r}")
