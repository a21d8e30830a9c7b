"""Every page for every hand and eye: WCAG 2.2 AA, thumbs, keys, zoom, grey, dark.

One browser for all; pages come from the routes (kitchen_pages), so a new one is held to
the same. WCAG numbers are those of its success criteria, version 2.2.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import combinations, pairwise
from typing import Any

import pytest
from PIL import Image

from kitchen_pages import furnish, page_paths
from lidclock.web import pseudo
from lidclock.web.words import COOKIE

PHONE, DESK, NARROW = (390, 844), (1280, 800), (320, 640)
TABLET = (820, 1180)
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
AA = {"type": "tag", "values": TAGS}
CONTRAST = {"type": "rule", "values": ["color-contrast"]}
# 12 mm of CSS: 96 px to the inch (CSS Values and Units 4, 6.2; from memory).
TARGET_PX = 12 / 25.4 * 96
MOST_STOPS = 500
ROUNDING_PX = 0.5

# Every link and control that stands by itself, and how large it is. One in a sentence
# has text around it (2.5.8, exception "Inline").
SMALL_TARGETS = """least => [...document.querySelectorAll(
  'a[href], button, input:not([type=hidden]), select, textarea, summary'
  )].filter(one => {
    const box = one.getBoundingClientRect(), style = getComputedStyle(one);
    if (!one.checkVisibility() || one.closest('.skip')) return false;
    const around = [...one.parentElement.childNodes].some(
      node => !node.matches?.('a, button') && node.textContent.trim());
    if (style.display === 'inline' && around) return false;
    const label = one.closest('label')?.getBoundingClientRect();
    const width = Math.max(box.width, label?.width ?? 0);
    const height = Math.max(box.height, label?.height ?? 0);
    return width < least || height < least;
  }).map(one => one.outerHTML.slice(0, 120))"""

# Text that reaches out of the page, or out of a box that cuts it off.
CUT_OFF = """() => {
  const found = [], root = document.documentElement, edge = root.clientWidth + 0.5;
  if (root.scrollWidth > root.clientWidth) found.push(`page ${root.scrollWidth} wide`);
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node; (node = walk.nextNode());) {
    const box = node.parentElement;
    if (!node.textContent.trim() || box.closest('.skip, svg, script, option')) continue;
    // What may scroll by itself, and what is there only to be heard.
    if (!box.checkVisibility() || box.closest('.scroll, .hidden')) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    for (const line of range.getClientRects()) {
      const frame = box.closest('button, .button, .bar a, summary, body');
      const within = frame.getBoundingClientRect();
      const left = Math.max(0, within.left), right = Math.min(edge, within.right);
      if (line.left < left - 1 || line.right > right + 1) {
        found.push(node.textContent.trim());
      }
    }
    for (let up = box; up !== root; up = up.parentElement) {
      const hides = getComputedStyle(up).overflowX !== 'visible';
      if (hides && up.scrollWidth > up.clientWidth + 1) found.push(up.className);
    }
  }
  return found; }"""

# What has the focus, whether that shows, and whether something lies over it.
FOCUSED = """() => {
  const one = document.activeElement;
  if (!one || one === document.body) return null;
  const box = one.getBoundingClientRect(), style = getComputedStyle(one);
  const over = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2);
  return {
    number: window.known.indexOf(one), html: one.outerHTML.slice(0, 120),
    shows: style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2,
    clear: over !== null && (one.contains(over) || over.contains(one)) }; }"""
# Every action, seen or not; and which of them are to be reached now. A group of radio
# buttons is one stop. Scripts show some only after the page has come.
ACTIONS = """async () => {
  const all = 'a[href], button, input:not([type=hidden]), select, textarea, summary';
  const seen = () => [...document.querySelectorAll(all)]
    .filter(one => one.checkVisibility()).length;
  while (!('ready' in document.documentElement.dataset)) {
    await new Promise(done => setTimeout(done, 10));
  }
  for (let before = -1; before !== seen();) {
    before = seen();
    await new Promise(done => setTimeout(done, 50));
  }
  window.known = [...document.querySelectorAll(all)]; }"""
REACHABLE = """() => window.known
  .map((one, number) => [one, number])
  .filter(([one]) => one.checkVisibility() && !one.disabled)
  .filter(([one]) => one.type !== 'radio' || one.checked ||
    one === document.querySelector(`input[type=radio][name="${one.name}"]`))
  .map(([, number]) => number)"""


@dataclass
class Furnished:
    """A kitchen with a container in each state, and a browser to look at it."""

    browser: Any
    address: str
    codes: dict[str, str]
    paths: list[str]

    def open(self, size: tuple[int, int], language: str = "en", **how: Any) -> Any:
        """A page of that size in that language; the fixture closes it."""
        context = self.browser.new_context(
            base_url=self.address,
            viewport={"width": size[0], "height": size[1]},
            **how,
        )
        cookie = {"name": COOKIE, "value": language, "url": self.address}
        context.add_cookies([cookie])
        return context.new_page()


@pytest.fixture(scope="module")
def kitchen(shared_house: Any, browser: Any) -> Furnished:
    codes = furnish(shared_house)
    paths = page_paths(shared_house, codes)
    return Furnished(browser, shared_house.address, codes, paths)


@pytest.fixture
def furnished(kitchen: Furnished) -> Iterator[Furnished]:
    yield kitchen
    for context in kitchen.browser.contexts:
        context.close()


@dataclass
class Visit:
    """One page as it lies open; what is wrong with it is kept by check."""

    page: Any
    faults: list[tuple[str, list[str]]] = field(default_factory=list)

    def resize(self, size: tuple[int, int]) -> None:
        self.page.set_viewport_size({"width": size[0], "height": size[1]})

    def axe(self, name: str, run_only: dict[str, Any]) -> None:
        """axe-core's findings, each with the first element it is about."""
        options = {"runOnly": run_only, "resultTypes": ["violations"]}
        found = self.page.evaluate("options => axe.run(options)", options)["violations"]
        self._keep(name, [f"{x['id']}: {x['nodes'][0]['html'][:160]}" for x in found])

    def whole(self, name: str) -> None:
        """Nothing is cut off, nothing scrolls sideways."""
        self._keep(name, self.page.evaluate(CUT_OFF))

    def targets(self, name: str) -> None:
        small = self.page.evaluate(SMALL_TARGETS, TARGET_PX - ROUNDING_PX)
        self._keep(name, small)

    def _keep(self, name: str, found: list[str]) -> None:
        if found:
            self.faults.append((name, found))


def look_fully(visit: Visit, script: str) -> None:
    """Every check of one open page that needs no other language."""
    visit.page.evaluate(script)
    visit.axe("axe on a phone", AA)
    visit.targets("targets on a phone")
    visit.resize(DESK)
    visit.axe("axe on a desk", AA)
    visit.targets("targets on a desk")
    visit.resize(NARROW)
    visit.whole("320 px wide, 1.4.10")
    visit.resize((640, 400))
    visit.whole("a desk at 200 %, 1.4.4")
    for size in (PHONE, TABLET, DESK):
        visit.resize(size)
        visit.page.evaluate("document.documentElement.style.fontSize = '200%'")
        visit.whole(f"text of twice the size, {size[0]} px wide, 1.4.4")
        visit.page.evaluate("document.documentElement.style.fontSize = ''")
    visit.page.emulate_media(color_scheme="dark")
    visit.axe("contrast in the dark", CONTRAST)
    visit.page.emulate_media(color_scheme="light")
    visit.resize(PHONE)


@pytest.mark.parametrize("language", ["en", "ar"])
def test_every_page_is_within_reach(furnished, language):
    """axe-core's rules for WCAG 2.2 A and AA and its good practice, thumbs, zoom, dark.

    One visit for all checks, since opening a page takes longer than looking at it.
    """
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    page, told = furnished.open(PHONE, language), {}
    for path in furnished.paths:
        page.goto(path)
        visit = Visit(page)
        look_fully(visit, axe.axe_script)
        told[path] = visit.faults

    assert {path: faults for path, faults in told.items() if faults} == {}


@pytest.mark.parametrize("language", ["de", pseudo.LONG, pseudo.LEFTWARD])
def test_longer_words_are_not_cut_off_at_320_px(furnished, language):
    page, cut = furnished.open(NARROW, language), {}
    for path in furnished.paths:
        page.goto(path)
        cut[path] = page.evaluate(CUT_OFF)

    assert {path: found for path, found in cut.items() if found} == {}


@pytest.mark.parametrize("size", [PHONE, DESK])
def test_tab_reaches_every_action_in_order_and_shows_where_it_is(furnished, size):
    """2.1.1, 2.4.3, 2.4.7 and 2.4.11: all by keys, in order, seen, nothing over it."""
    page = furnished.open(size)
    for path in furnished.paths:
        page.goto(path)
        page.evaluate(ACTIONS)
        stops = list(walk(page))

        assert [stop["number"] for stop in stops] == page.evaluate(REACHABLE), path
        assert [stop["html"] for stop in stops if not stop["shows"]] == [], path
        assert [stop["html"] for stop in stops if not stop["clear"]] == [], path


def walk(page: Any) -> Iterator[dict[str, Any]]:
    """Where Tab leads until it leaves the page; a field's parts are one stop."""
    before = -1
    for _ in range(MOST_STOPS):
        page.keyboard.press("Tab")
        stop = page.evaluate(FOCUSED)
        if stop is None or 0 <= stop["number"] < before:
            return
        if stop["number"] != before:
            yield stop
        before = stop["number"]


def test_the_first_stop_leads_past_the_bar(furnished):
    """2.4.1: what is the same on every page can be passed over."""
    page = furnished.open(DESK)
    page.goto("/")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "main"
    page.keyboard.press("Tab")

    assert page.evaluate("document.activeElement.closest('main') !== null")


def test_the_bar_lies_under_the_thumb_and_on_the_side_that_is_read_first(furnished):
    places = {}
    for language, size in (("en", PHONE), ("en", DESK), ("ar", DESK)):
        page = furnished.open(size, language)
        page.goto("/")
        box = page.locator("nav.bar").bounding_box()
        places[language, size] = (round(box["x"]), round(box["y"] + box["height"]))
        width = round(box["width"])

    assert places["en", PHONE] == (0, PHONE[1])
    assert places["en", DESK] == (0, DESK[1])
    assert places["ar", DESK] == (DESK[0] - width, DESK[1])


def test_digits_of_english_parts_do_not_turn_round_in_arabic(furnished):
    """What an authority says is English: its `3 to 4` does not become `4 to 3`."""
    page = furnished.open(PHONE, "ar")
    page.goto(f"/c/{furnished.codes['left']}")
    first, last = page.locator("[lang=en]", has_text="3 to 4 days").first.evaluate(
        """one => {
            const text = [...one.childNodes].find(part => part.nodeType === 3);
            const at = text.data.indexOf("3 to 4");
            return [at, at + 5].map(place => {
                const part = document.createRange();
                part.setStart(text, place);
                part.setEnd(text, place + 1);
                return part.getBoundingClientRect().x;
            });
        }"""
    )

    assert first < last


@pytest.mark.parametrize("path", ["/", "/alerts"])
def test_codes_do_not_turn_round_in_arabic(furnished, path):
    """A code that begins with figures, as Unicode UAX 9 would turn it round."""
    page = furnished.open(PHONE, "ar")
    page.goto(path)
    places = page.locator("main a b").first.evaluate(
        """one => {
            one.textContent = "273 K90J";
            return [0, 7].map(at => {
                const part = document.createRange();
                part.setStart(one.firstChild, at);
                part.setEnd(one.firstChild, at + 1);
                return part.getBoundingClientRect().x;
            });
        }"""
    )

    assert places[0] < places[1]


@pytest.mark.parametrize(
    ("language", "font"), [("ar", "Noto Sans Arabic"), ("zh-Hans", "WenQuanYi")]
)
def test_letters_of_every_language_are_drawn(furnished, language, font):
    """The browser's own word on which font drew the heading: none is missing."""
    page = furnished.open(PHONE, language)
    page.goto("/language")
    tool = page.context.new_cdp_session(page)
    tool.send("DOM.enable")
    tool.send("CSS.enable")
    root = tool.send("DOM.getDocument")["root"]["nodeId"]
    heading = tool.send("DOM.querySelector", {"nodeId": root, "selector": "h1"})
    fonts = tool.send("CSS.getPlatformFontsForNode", heading)["fonts"]

    assert [one["familyName"] for one in fonts if font not in one["familyName"]] == []
    assert fonts


def ring_of(page: Any, code: str) -> tuple[float, int]:
    """How much of a lid's ring is inked in grey, and in how many runs."""
    page.goto(f"/c/{code}")
    drawn = page.locator("main .lid").first
    grey = Image.open(io.BytesIO(drawn.screenshot())).convert("L")
    size, pixels = grey.width, grey.load()
    middle, radius = (size - 1) / 2, 0.415 * size
    around = [at * 2 * 3.14159265 / 1440 for at in range(1440)]
    ring = [_at(pixels, middle, radius, angle) for angle in around]
    sheet = _at(pixels, middle, 0.34 * size, 2.9)
    inked = [abs(value - sheet) > 60 for value in ring]
    runs = sum(now and not before for before, now in pairwise(inked))
    return sum(inked) / len(inked), runs


def _at(pixels: Any, middle: float, radius: float, angle: float) -> int:
    from math import cos, sin

    value: int = pixels[
        round(middle + radius * sin(angle)), round(middle - radius * cos(angle))
    ]
    return value


HOW = [
    {"color_scheme": "light"},
    {"color_scheme": "dark"},
    {"forced_colors": "active"},
]


@pytest.mark.parametrize("how", HOW, ids=lambda how: next(iter(how.values())))
def test_the_states_of_a_lid_differ_without_colour(furnished, how):
    """1.4.1, 1.4.11: left is full, paused striped, spent hollow, unknown dotted."""
    page = furnished.open(PHONE, device_scale_factor=2, **how)
    rings = {
        name: ring_of(page, code)
        for name, code in furnished.codes.items()
        if name in ("left", "hatched", "spent", "dotted")
    }
    full, stripes = rings["left"], rings["hatched"]
    hollow, dotted = rings["spent"], rings["dotted"]

    assert full[0] > 0.8
    assert 0.1 < stripes[0] < 0.7
    assert stripes[1] > 12
    assert hollow[0] < 0.15
    assert hollow[1] <= 10
    assert dotted[0] < 0.45
    assert dotted[1] > 25
    for one, other in combinations(rings.values(), 2):
        assert one != other


PAIRS = [
    ("--line", "--paper"),
    ("--line", "--sheet"),
    ("--ink", "--paper"),
    ("--ink", "--sheet"),
    ("--on-ink", "--ink"),
]


def luminance(colour: tuple[int, int, int]) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    parts = [value / 255 for value in colour]
    linear = [
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4
        for part in parts
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: tuple[int, int, int], other: tuple[int, int, int]) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_contrast_is_counted_as_wcag_counts_it():
    """Black on white is 21; #767676 on white is the lightest grey above 4.5."""
    assert contrast((0x76, 0x76, 0x76), (255, 255, 255)) == pytest.approx(
        4.54, abs=0.01
    )
    assert contrast((0x77, 0x77, 0x77), (255, 255, 255)) < 4.5


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_ink_stands_out_from_paper(furnished, scheme):
    """1.4.6, which asks 7 : 1 of text: more than AA, for a greasy screen."""
    page = furnished.open(PHONE, color_scheme=scheme)
    page.goto("/")
    colour = """name => { const one = document.createElement('i');
      one.style.setProperty('color', `var(${name})`); document.body.append(one);
      const said = getComputedStyle(one).color; one.remove();
      return said.match(/[0-9]+/g).slice(0, 3).map(Number); }"""
    ratios = {
        pair: contrast(*(tuple(page.evaluate(colour, name)) for name in pair))
        for pair in PAIRS
    }

    assert {pair: ratio for pair, ratio in ratios.items() if ratio < 7} == {}


@pytest.mark.parametrize(("wish", "lasts"), [("reduce", 0.001), ("no-preference", 3)])
def test_nothing_moves_for_those_who_ask_it_not_to(furnished, wish, lasts):
    """2.3.3: whatever a page animates is over at once."""
    page = furnished.open(PHONE, reduced_motion=wish)
    page.goto("/")
    seconds = page.evaluate("""() => { const sheet = new CSSStyleSheet();
      sheet.replaceSync('h1 { animation: turn 3s infinite; }');
      document.adoptedStyleSheets = [sheet];
      const style = getComputedStyle(document.querySelector('h1'));
      return parseFloat(style.animationDuration); }""")

    assert seconds == pytest.approx(lasts, abs=0.001)


def test_paper_shows_the_lids_and_not_the_buttons(furnished):
    page = furnished.open(DESK)
    page.emulate_media(media="print")
    page.goto("/")

    assert page.locator("main .lid").first.is_visible()
    assert not page.locator("nav.bar").is_visible()
    assert not page.get_by_role("button").first.is_visible()
