"""Words of a lid stay inside its ring, whatever their length and language."""

import re
from datetime import date

import pytest

from lidclock.app.end_words import end_words
from lidclock.app.lid import HATCHED, LEFT, SPENT, Lid
from lidclock.domain.moments import say_day, say_short_day
from lidclock.domain.sentences import Sentence, sentence, sentences
from lidclock.web.lid import Sheet, draw, in_language
from lidclock.web.words import LANGUAGES

DAYS = (SPENT, LEFT, LEFT)
WORDS = [
    ("Thu 5 Nov", "use by"),
    ("Wed 30 Sep 2027", "house rule"),
    ("today", "last day"),
    ("till 19:10", "last day"),
    ("frozen", "12 days left"),
    ("gefroren", "noch 12 Tage nach dem Auftauen"),
    ("mié 30 sept 2026", "regla de la casa"),
    ("mercredi 30 septembre", "à consommer jusqu’au"),
    ("11月5日星期四", "此日期前使用"),
    ("الخميس 5 نوفمبر", "يستخدم قبل"),
    ("take-out", ""),
    ("Donaudampfschifffahrtsgesellschaft", "WWWWWWWWWWWWWWWWWWWWWW"),
    ("<b>&\"'", "<script>"),
]
SHORT_DAYS = [say_short_day(date(2026, month, month + 15)) for month in range(1, 13)]
# What lids say: the keys are those of the catalogues, as app/lid.py has them.
SAID = [
    *((day, "use by") for day in [*SHORT_DAYS, say_day(date(2027, 9, 29))]),
    *((day, "house rule") for day in SHORT_DAYS),
    (sentence("till {hour}", hour="20:58"), "last day"),
    ("today", "last day"),
    ("over", "discard"),
    ("?", "no last day"),
    *(
        ("frozen", sentences("{count} day left", "{count} days left", count))
        for count in (1, 2, 3, 11, 100)
    ),
    *((end_words(kind), "") for kind in ("used", "discarded", "given", "missing")),
]
MEASURE = """() => [...document.querySelectorAll("svg.lid")].map((svg) => {
  const box = svg.getBoundingClientRect();
  const middle = [box.x + box.width / 2, box.y + box.height / 2];
  const unit = box.width / 100;
  let far = 0;
  for (const text of svg.querySelectorAll("text")) {
    const one = text.getBBox();
    // Glyphs are lower than the line box that the font asks for.
    for (const x of [one.x, one.x + one.width])
      for (const y of [one.y + one.height * 0.22, one.y + one.height * 0.85])
        far = Math.max(far, Math.hypot(x - 50, y - 50));
  }
  return far;
})"""


def test_words_stay_inside_the_ring(phone):
    lids = [Lid(DAYS, word, note) for word, note in WORDS]
    phone.goto("/")
    drawn = "".join(draw(lid, 104) for lid in lids)
    phone.evaluate(
        "html => { document.querySelector('main').innerHTML = html; }", drawn
    )
    far = phone.evaluate(MEASURE)

    assert len(far) == len(WORDS)
    # The ring begins 37 from the middle.
    assert {WORDS[n]: round(x, 1) for n, x in enumerate(far) if x > 37} == {}
    assert min(far) > 15


def lids_in(language):
    """Every kind of lid as a page in the language shows it."""
    for word, note in SAID:
        said = [Sentence(one, {}) if type(one) is str else one for one in (word, note)]
        yield in_language(language, Lid(DAYS, *said))


@pytest.mark.parametrize("language", LANGUAGES)
def test_what_lids_say_fits_whole_in_every_language(phone, language):
    lids = [*lids_in(language)]
    phone.goto("/")
    drawn = [draw(lid, 104) for lid in lids]
    phone.evaluate(
        "html => { document.querySelector('main').innerHTML = html; }", "".join(drawn)
    )
    far = phone.evaluate(MEASURE)
    sizes = {
        lid.word: [float(size) for size in re.findall(r'font-size="([\d.]+)"', svg)]
        for lid, svg in zip(lids, drawn, strict=True)
    }

    assert [lid for lid, svg in zip(lids, drawn, strict=True) if "…" in svg] == []
    assert {lids[n].word: x for n, x in enumerate(far) if x > 37} == {}
    # The word itself is never as small as a note may be.
    assert {word: x for word, x in sizes.items() if max(x) < 8} == {}


@pytest.mark.parametrize(("count", "arcs"), [(1, 1), (3, 3), (31, 31)])
def test_every_segment_is_an_arc_of_some_length(count, arcs):
    drawn = draw(Lid((LEFT,) * count, "x", ""), 100)

    assert drawn.count('<path class="left"') == arcs
    for path in drawn.split(' d="M')[1:]:
        start, _, rest = path.partition("A")
        end = rest.split(" 1 ")[1].partition("L")[0]
        assert start != end


def test_a_weekday_stands_above_its_day():
    drawn = draw(Lid(DAYS, "Thu 5 Nov", "use by"), 100)

    assert ">Thu</text>" in drawn
    assert ">5 Nov</text>" in drawn


def test_patterns_and_words_say_the_same_without_colour():
    drawn = draw(Lid((SPENT, HATCHED), "frozen", "1 day left"), 100)

    assert 'class="spent"' in drawn
    assert 'class="hatched"' in drawn
    assert 'aria-label="frozen, 1 day left"' in drawn
    assert 'class="dotted"' in draw(Lid((), "?", "no last day"), 100)


def test_what_looks_alike_is_drawn_once_and_harmful_words_are_text():
    one, other = Lid(DAYS, "<b>", "x"), Lid(DAYS, "today", "x")
    sheet = Sheet([one, other, Lid(DAYS, "<b>", "x")], "en")

    assert sheet.symbols().count("<symbol") == 2
    assert "<b>" not in sheet.symbols() + sheet.use(one, 10)
    assert sheet.use(one, 10) != sheet.use(other, 10)
