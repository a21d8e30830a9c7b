"""The container page in other languages: only guidance's own wording stays English."""

from __future__ import annotations

from datetime import timedelta
from html.parser import HTMLParser

import pytest
from tests.web.pages import hidden_fields

from lidclock.app import moves, prep
from lidclock.app.verdict_words import rule_source_words
from lidclock.domain.foods import Food
from lidclock.domain.sentences import Sentence
from lidclock.guidance.allergens import allergen_list, declare
from lidclock.guidance.load import load_categories
from lidclock.web.words import COOKIE

# Tue 3 Nov 2026; such food keeps 3 to 4 days, the making day being day 1
# (FoodSafety.gov, Cold Food Storage Chart).
GERMAN = {
    "keep": "aufheben: zu verbrauchen bis Fr., 6. Nov. 2026",
    "soon": "bald: zu verbrauchen bis Mi., 4. Nov. 2026",
    "last-day": "letzter Tag: zu verbrauchen bis Di., 3. Nov. 2026",
    "over": "abgelaufen: war zu verbrauchen bis Mi., 28. Okt. 2026",
    "paused": "angehalten: gefroren, nach dem Auftauen noch 2 Tage",
    "unknown": "unbekannt: Herstellungszeit: nicht festgehalten",
    "ended": "entsorgt: Geruch, Di., 3. Nov. 2026",
}
ARABIC = {"paused": "متوقفة: مجمّدة، يومان باقيان بعد الإذابة"}


def kitchen_of_every_status(house):
    """A container in each status, by the status that its page must show."""
    codes = {
        "keep": house.prep("stew")[0],
        "soon": house.prep("sauce", days_ago=2)[0],
        "last-day": house.prep("rice pudding", days_ago=3)[0],
        "over": house.prep("barley soup", days_ago=9)[0],
        "paused": house.prep("stock", days_ago=1)[0],
        "ended": house.prep("broth", days_ago=1)[0],
    }
    session = house.session()
    with session.write() as unit:
        moves.freeze(unit, codes["paused"])
        moves.discard(unit, codes["ended"], "smell")
        food = Food("old stew", "soup-stew", ("milk", "nuts"))
        codes["unknown"] = prep.adopt(unit, food, place=session.place("Fridge")).codes[
            0
        ]
        order = prep.Order(Food("new stew", "soup-stew", None), 2, portion_g=300)
        codes["unmarked"] = prep.prep(unit, order).codes[0]
    house.now += timedelta(minutes=5)
    return codes


class English(HTMLParser):
    """The texts that a page marks as English."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self._depth = 0
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        if self._depth or dict(attrs).get("lang") == "en":
            self._depth += tag not in ("br", "input", "meta", "link")
            if self._depth == 1:
                self.found.append("")

    def handle_endtag(self, tag):
        del tag
        self._depth = max(0, self._depth - 1)

    def handle_data(self, data):
        if self._depth:
            self.found[-1] += data


def wording(session):
    """What guidance itself says: names, rules, their sources, names on lists of law."""
    guidance = session.guidance
    names = declare(guidance.allergens, ["milk", "nuts"]).listed
    said = {guidance.counting.says, allergen_list(guidance.allergens).title}
    said |= {rule.says for rule in guidance.rules}
    said |= {", ".join(name for name, _ in names)}
    said |= {guidance.title, load_categories()["soup-stew"].name}
    for rule in guidance.rules:
        source = rule_source_words(rule)
        values = source.values.values() if isinstance(source, Sentence) else [source]
        said |= {str(one) for one in values}
    return said


@pytest.mark.parametrize(
    ("language", "standing"), [("de", GERMAN), ("ar", ARABIC)], ids=["de", "ar"]
)
def test_only_what_guidance_says_is_english_on_a_container(
    house, client, language, standing
):
    codes = kitchen_of_every_status(house)
    client.cookies.set(COOKIE, language)
    pages = {one: client.get(f"/c/{code}").text for one, code in codes.items()}
    known = wording(house.session())

    left = {one: set(English(page).found) - known for one, page in pages.items()}
    assert {one: texts for one, texts in left.items() if texts} == {}
    assert English(pages["keep"]).found  # the authority's wording, marked
    assert [x for x, words in standing.items() if words not in pages[x]] == []


def test_the_kitchen_has_every_status(house):
    codes = kitchen_of_every_status(house)
    session, found = house.session(), {}
    with session.read() as unit:
        for status, code in codes.items():
            is_unmarked = unit.find(code).is_unmarked and status == "unmarked"
            found[status] = (
                "unmarked" if is_unmarked else unit.view(code).verdict.status
            )

    assert found == {status: status for status in codes}


@pytest.mark.parametrize("language", ["es", "fr", "zh-Hans"])
def test_no_lid_of_the_shelf_is_english(house, client, language):
    kitchen_of_every_status(house)
    client.cookies.set(COOKIE, language)
    page = client.get("/shelf").text

    assert English(page).found == []
    for word in ("use by", "discard", "frozen", "last day", "days left"):
        assert word not in page


def test_a_scan_is_answered_in_the_language_of_the_page(house, client):
    (code,) = house.prep("stew")
    (old,) = house.prep("soup", days_ago=9)
    client.cookies.set(COOKIE, "de")
    token = hidden_fields(client.get("/scan").text, "/scan")["csrf"]

    def answer(line, action):
        said = {"line": line, "action": action}
        head = {"x-csrf": token, "origin": house.address}
        return client.post("/scan/check", json=said, headers=head).json()["says"]

    assert "stew: gefroren; nach dem Auftauen noch" in answer(code, "FREEZE")
    assert "über dem letzten Zeitpunkt: entsorgen. Noch" in answer(old, "USE")
    assert "ist kein Code eines Behälters" in answer("nonsense", "LOOK")
    page = client.post("/scan", data={"csrf": token, "line": code, "action": "USE"})
    assert "stew: verbraucht</li>" in page.text
    assert 'lang="en"' not in page.text.split("<main")[1]


def test_refusals_are_in_the_language_of_the_page(house, client):
    (old,) = house.prep("soup", days_ago=9)
    client.cookies.set(COOKIE, "fr")
    form = hidden_fields(client.get(f"/c/{old}").text, f"/c/{old}")
    odd = client.post(f"/c/{old}", data={**form, "do": "freeze"}).text
    unknown = client.get("/c/0000000").text

    assert "a dépassé son dernier moment\u00a0: congeler ne le rattrape pas" in odd
    assert "vérifiez les sept signes du couvercle" in unknown
    for page in (odd, unknown):
        assert 'lang="en"' not in page.split("<main")[1]


def test_what_a_device_knows_alone_is_in_its_language(house, client):
    house.prep("stew")
    asked = {"accept-language": "es"}
    (one,) = client.get("/api/v1/shelf", headers=asked).json()["containers"]
    (plain,) = client.get("/api/v1/shelf").json()["containers"]

    assert (one["word"], one["note"]) == ("vie, 6 nov", "usar antes de")
    assert (plain["word"], plain["note"]) == ("Fri 6 Nov", "use by")
