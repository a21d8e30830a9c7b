"""What people do in the course of a day, tapped on a phone, and what they then see."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pypdfium2
from tests.web.scanning import choose, hold_clock, open_scan, scan, settled

ZONE = ZoneInfo("America/New_York")
# Scripts send what is typed beside a thermometer; before they run it is a plain form.
READS = "html[data-ready] [data-page=readings]"


def at(house, phone, *local):
    """Go on to an hour in New York, the kitchen and the phone together."""
    house.now = datetime(2026, *local, tzinfo=ZONE).astimezone(UTC)
    hold_clock(phone, house.now)


def seen(phone, where="main"):
    """What a person reads there, in one line, when all of the page has come."""
    phone.wait_for_load_state()
    return " ".join(phone.inner_text(where).split())


def words_of(pdf):
    """The words on a PDF, one page after the other."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        pages = [page.get_textpage().get_text_range() for page in document]
        return " ".join(" ".join(pages).split())
    finally:
        document.close()


def codes_on(phone):
    """The codes that a page of filled containers names, box after box."""
    return [
        "".join(one.split()) for one in phone.locator("ul.codes b").all_inner_texts()
    ]


def scan_all(phone, action, codes):
    """Choose an action on the scan page, scan these lids, wait until all are kept."""
    open_scan(phone)
    choose(phone, action)
    for code in codes:
        scan(phone, code)
    settled(phone, len(codes))


def snapshot(house, code):
    """What the kitchen knows of a container."""
    session = house.session()
    with session.read() as unit:
        return unit.find(code)


def last_moment(phone, code):
    """Up to when a container may be used, as programs are told."""
    return phone.request.get(f"/api/v1/containers/{code}").json()["last_moment"]


def fold(phone, words):
    """Open what is folded away under these words, if it is not open."""
    summary = phone.locator("main summary").get_by_text(words, exact=True)
    if not summary.evaluate("one => one.parentElement.open"):
        summary.click()


def fill_new(phone, food, kind, *, grams, count=1, days="", allergens="", place=""):
    """Fill a food that is new here, on the form that is open or is opened now.

    No allergens: somebody knows that none are in it. No place: not put away yet.
    """
    phone.get_by_label(kind, exact=True).check()
    if allergens:
        phone.get_by_label("Allergens, with").fill(allergens)
    else:
        phone.get_by_label("None are in it").check()
    form = phone.locator("form#fill")
    form.get_by_label("Containers", exact=True).fill(str(count))
    form.get_by_label("Grams", exact=True).fill(str(grams))
    form.get_by_label("in all").check()
    form.get_by_label(place or "not put away yet", exact=True).check()
    if days:
        fold(phone, "More")
        form.get_by_label("This kitchen's own count").fill(str(days))
    form.get_by_role("button", name="Fill").click()
    phone.get_by_role("heading", name=f"{food}: {count} container").wait_for()
    return codes_on(phone)


def type_temp(phone, place, temp):
    """Type what the thermometer of a place shows, and wait until it is recorded."""
    phone.goto("/temperatures")
    phone.wait_for_selector(READS)
    form = phone.locator(f'form[data-what="{place}"]')
    form.locator("[name=temp]").fill(temp)
    form.get_by_role("button", name="Record").click()
    phone.get_by_text("Recorded:").wait_for()


def add_person(phone, handle, code):
    """An owner writes somebody down on the page of people, with a switch code."""
    phone.goto("/people")
    adding = phone.get_by_role("region", name="Add a person")
    adding.get_by_label("Handle").fill(handle)
    adding.get_by_label("Switch code").fill(code)
    adding.get_by_role("button", name="Add").click()
    phone.locator("summary", has_text=handle).wait_for()


def become(phone, handle, code):
    """Whoever holds the shared device now says so."""
    phone.goto("/switch")
    phone.get_by_label(handle, exact=True).check()
    phone.get_by_label("Four digits").fill(code)
    phone.get_by_role("button", name="That is me").click()
    phone.wait_for_url("**/")
    phone.goto("/switch")
    assert f"Now here: {handle}" in seen(phone)


def sums(phone, caption):
    """A table of the month: the numbers of each row by the word it begins with."""
    table = phone.locator("table.sums").filter(
        has=phone.locator("caption").get_by_text(caption, exact=True)
    )
    rows = table.locator("tbody tr").all()
    return {
        row.locator("th").inner_text(): row.locator("td").all_inner_texts()
        for row in rows
    }
