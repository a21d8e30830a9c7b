"""The page in six languages: every text translated, and nothing outside a catalogue."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from html.parser import HTMLParser

import httpx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitchen_pages import DATA, furnish, page_paths
from lidclock.web import pseudo, words_found
from lidclock.web.catalogue import Catalogue, Entry, escaped, read_catalogue, unescaped
from lidclock.web.words import COOKIE, LANGUAGES, accepted, catalogue_of, translate_many

OTHERS = [name for name in LANGUAGES if name != "en"]
VOID = frozenset(
    "area base br col embed hr img input link meta source track wbr".split()
)
SEEN = ("alt", "aria-label", "aria-description", "placeholder", "title")
BEGIN, END = pseudo.BEGIN, pseudo.END
LETTER = re.compile(r"[^\W\d_]")


@pytest.mark.parametrize("language", OTHERS)
def test_every_text_of_the_pages_is_translated(language):
    catalogue = catalogue_of(language)

    assert list(words_found.faults(words_found.found(), language, catalogue)) == []


def test_a_missing_a_stale_and_a_computed_text_are_told():
    catalogue = Catalogue({("Old", None): Entry("Old", None, ("Alt",))}, 2, int)
    texts = [
        words_found.Found(("New", None), "new.html:3"),
        words_found.Found(None, "new.html:4"),
    ]

    told = "\n".join(words_found.faults(texts, "de", catalogue))

    assert "new.html:3: 'New' is missing" in told
    assert "'Old' is stale" in told
    assert "new.html:4: the text is computed" in told


@pytest.mark.parametrize(
    ("entry", "fault"),
    [
        (Entry("Save", None, ("",)), "not translated"),
        (Entry("Save", None, ("Sichern",), is_fuzzy=True), "not translated"),
        (Entry("{count} lid", "{count} lids", ("{count}",)), "in 2 form(s)"),
        (Entry("In {place}", None, ("In {ort}",)), "other places"),
        (Entry("In {place}", None, ("Drin",)), "other places"),
    ],
)
def test_a_half_done_translation_is_told(entry, fault):
    key = (entry.key, entry.plural)
    found = [words_found.Found(key, "page.html:1")]

    told = list(words_found.faults(found, "de", Catalogue({key: entry}, 2, int)))

    assert len(told) == 1
    assert fault in told[0]


def test_new_texts_are_written_in_and_stale_ones_taken_out(tmp_path):
    path = tmp_path / "page.po"
    header = 'msgid ""\nmsgstr "Plural-Forms: nplurals=2; plural=(n != 1);\\n"'
    old = Entry('Say "no"', None, ('Sag "nein"',))
    catalogue = Catalogue({(old.key, None): old, ("Gone", None): old}, 2, int)
    texts = [
        words_found.Found((old.key, None), "a.html:1"),
        words_found.Found(("{count} lid", "{count} lids"), "b.html:2"),
    ]

    path.write_text(words_found.written(texts, catalogue, header), "utf-8")

    assert read_catalogue(path).entries == {
        (old.key, None): old,
        ("{count} lid", "{count} lids"): Entry("{count} lid", "{count} lids", ("", "")),
    }


@pytest.mark.parametrize("line", ["msgid card", 'msgid "a" "b"', '"alone"', "nonsense"])
def test_a_line_that_is_none_of_a_catalogue_is_refused(tmp_path, line):
    path = tmp_path / "page.po"
    path.write_text(f"{line}\n", "utf-8")

    with pytest.raises(ValueError, match="line 1"):
        read_catalogue(path)


@given(st.text(st.characters(codec="utf-8", exclude_characters="\r")))
def test_any_text_survives_being_written_in_a_catalogue(text):
    assert unescaped(escaped(text)) == text
    assert "\n" not in escaped(text)


@pytest.mark.parametrize(
    ("count", "said"),
    [(0, "صفر"), (1, "واحد"), (2, "اثنان"), (3, "قليل"), (11, "كثير"), (100, "غيره")],
)
def test_arabic_has_a_form_for_each_kind_of_count(count, said):
    forms = ("صفر", "واحد", "اثنان", "قليل", "كثير", "غيره")
    entry = Entry("one", "many", forms)
    arabic = catalogue_of("ar")
    catalogue = Catalogue({("one", "many"): entry}, 6, arabic.form_of)

    assert catalogue.many("one", "many", count) == said


def test_what_nobody_translated_is_said_in_english():
    assert translate_many("ar")("{count} comet", "{count} comets", 1) == "{count} comet"
    assert (
        translate_many("ar")("{count} comet", "{count} comets", 3) == "{count} comets"
    )


# "da, en-gb;q=0.8, en;q=0.7" is the example of RFC 9110, 12.5.4; the others are ours.
@pytest.mark.parametrize(
    ("header", "language"),
    [
        ("da, en-gb;q=0.8, en;q=0.7", "en"),
        ("", "en"),
        ("es", "es"),
        ("de-AT", "de"),
        ("fr;q=0.5, ar", "ar"),
        ("fr;q=0.5, ar;q=0.4", "fr"),
        ("es, fr", "es"),
        ("DE-de ; q=0.9 , pt", "de"),
        ("zh-CN", "zh-Hans"),
        ("zh", "zh-Hans"),
        ("zh-TW, fr;q=0.1", "fr"),
        ("zh-Hant-HK", "en"),
        ("fr;q=0, de;q=0.1", "de"),
        ("fr;q=0, fr-CA", "en"),
        ("*", "en"),
        ("pt, *;q=0.1", "en"),
        ("fr;q=2, de;q=0.2", "de"),
        ("fr;q=nan, de;q=0.2", "de"),
        ("fr;level=1", "en"),
        ("\u202efr, <script>, ;;;,", "en"),
        ("xx," * 100_000 + "fr", "en"),
    ],
)
def test_the_language_follows_what_the_browser_weighs(header, language):
    assert accepted(header) == language


def test_a_page_says_its_language_and_direction(client):
    page = client.get("/", headers={"accept-language": "ar"})

    assert '<html lang="ar" dir="rtl">' in page.text
    assert "Accept-Language" in page.headers["vary"]
    assert '<html lang="en" dir="ltr">' in client.get("/").text


def choose(client: httpx.Client, language: str) -> httpx.Response:
    form = re.search(r'name="csrf" value="([^"]+)"', client.get("/language").text)
    data = {"csrf": form[1], "language": language}
    return client.post("/language", data=data)


def test_the_language_chosen_on_a_device_stays(client):
    page = choose(client, "fr")

    assert '<html lang="fr" dir="ltr">' in page.text
    assert '<html lang="fr"' in client.get("/", headers={"accept-language": "de"}).text
    assert '<html lang="de"' not in page.text


def test_the_choice_can_be_left_to_the_browser_again(client):
    choose(client, "fr")
    choose(client, "")

    assert '<html lang="de"' in client.get("/", headers={"accept-language": "de"}).text


@pytest.mark.parametrize("hostile", ["../../etc", "<b>", "en\x00", "x" * 5000, "ES"])
def test_an_unknown_choice_changes_nothing(client, hostile):
    assert '<html lang="en"' in choose(client, hostile).text


def test_a_choice_from_another_site_is_refused(client):
    answer = client.post("/language", data={"language": "fr"})

    assert answer.status_code == 403
    assert '<html lang="en"' in client.get("/").text


@given(st.text(max_size=200))
def test_a_pseudo_text_is_longer_and_keeps_its_places_for_values(text):
    said = pseudo.disguise(f"{text}{{count}} of %(all)s")

    assert len(said) >= 1.4 * len(text)
    assert "{count}" in said
    assert "%(all)s" in said


@dataclass
class Reader(HTMLParser):
    """What a person reads on a page or hears of it, but for data and English parts."""

    said: list[str] = field(default_factory=list)
    open: list[tuple[str, bool]] = field(default_factory=list)

    def __post_init__(self) -> None:
        super().__init__()

    @property
    def is_passed_over(self) -> bool:
        return any(passed for _, passed in self.open)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        has = dict(attrs)
        passed = tag in ("script", "style") or has.get("lang") == "en"
        passed |= has.get("translate") == "no"
        if not (passed or self.is_passed_over):
            self.said += [has[name] or "" for name in SEEN if name in has]
        if tag not in VOID:
            self.open.append((tag, passed))

    def handle_endtag(self, tag: str) -> None:
        while self.open and self.open.pop()[0] != tag:
            pass

    def handle_data(self, data: str) -> None:
        if not self.is_passed_over:
            self.said.append(data)


def plain_texts(html: str, data: tuple[str, ...]) -> list[str]:
    """What is left on a page in the pseudo-language: texts from no catalogue."""
    reader = Reader()
    reader.feed(html)
    text = "\n".join(reader.said)
    said, outside = re.compile(rf"{BEGIN}[^{BEGIN}{END}]*{END}"), text
    while said.search(outside):  # a day may stand inside a text
        outside = said.sub("", outside)
    for known in sorted(data, key=len, reverse=True):
        outside = re.sub(rf"\b{re.escape(known)}\b", "", outside)
    return [line.strip() for line in outside.splitlines() if LETTER.search(line)]


def test_a_text_outside_the_catalogues_is_found():
    html = (
        '<html lang="en-x-pseudo"><p>⟦Šåý ⟦Ţĥû⟧ ë⟧ stew</p><p lang="en">use up</p><br>'
        '<button aria-label="Close">⟦x⟧</button><p>Loose words</p></html>'
    )

    assert plain_texts(html, ("stew",)) == ["Close", "Loose words"]


def test_no_page_says_a_word_that_is_in_no_catalogue(house, client):
    codes = furnish(house)
    known = (*DATA, *codes.values(), *(f"{c[:3]} {c[3:]}" for c in codes.values()))
    client.cookies.set(COOKIE, pseudo.LONG)

    paths = page_paths(house, codes)
    left = {path: plain_texts(client.get(path).text, known) for path in paths}

    assert len(paths) > 4
    assert {path: texts for path, texts in left.items() if texts} == {}


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_page_opens_in_every_language(house, client, language):
    codes = furnish(house)
    client.cookies.set(COOKIE, language)

    for path in page_paths(house, codes):
        answer = client.get(path)
        assert answer.status_code < 500, path
        assert f'<html lang="{language}"' in answer.text


def test_no_page_shows_a_day_all_in_numbers(house, client):
    codes = furnish(house)
    numbers = re.compile(r"\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}")

    for language in LANGUAGES:
        client.cookies.set(COOKIE, language)
        for path in page_paths(house, codes):
            reader = Reader()
            reader.feed(client.get(path).text)
            assert numbers.findall(" ".join(reader.said)) == [], (language, path)
        client.cookies.clear()
