"""Recounting a place: without scripts, with a scanner, and on two devices at once."""

import re
from datetime import timedelta

import httpx
import pytest
from tests.web.pages import hidden_fields
from tests.web.scanning import scan, until

from lidclock.app import moves, prep
from lidclock.app.stock_take import last_stock_takes
from lidclock.domain.foods import Food

STRANGER = "4F7K2M0"


@pytest.fixture
def boxes(house):
    """Six boxes of bun dough in the freezer: 308 g each, the last one 307 g."""
    session = house.session()
    with session.write() as unit:
        order = prep.Order(
            Food("bun dough", "yeast-dough-raw", ("wheat", "milk"), house_days=6),
            6,
            total_g=1847,
            place=session.place("Freezer"),
        )
        codes = prep.prep(unit, order).codes
    house.now += timedelta(minutes=5)
    return codes


def found(house, code):
    with house.session().read() as unit:
        return unit.find(code)


def words(page):
    """What a person reads of a page, in one line."""
    return " ".join(re.sub(r"<[^>]*>", " ", page).split())


def tell(client, *codes, place="Freezer"):
    """Scan lids with the plain form; the page that comes back."""
    for code in codes:
        page = client.get("/stock-take", params={"place": place}).text
        form = hidden_fields(page, "/stock-take")
        page = client.post("/stock-take", data={**form, "line": code}).text
    return page


def finish(client, place="Freezer", **said):
    page = client.get("/stock-take/end", params={"place": place}).text
    form = hidden_fields(page, "/stock-take/end")
    return client.post("/stock-take/end", data={**form, **said})


def test_one_box_not_seen_is_named_with_ways_to_say_what_became_of_it(client, boxes):
    """Walk-through of a home cook, step 14."""
    box_5 = boxes[4]
    page = tell(client, *boxes[:4], boxes[5])
    assert "Seen: 5 of 6" in page
    assert "5 of 6 bun dough box 6" not in page
    end = words(client.get("/stock-take/end?place=Freezer").text)

    assert "1 missing: box 5, 308 g" in end
    for way in ("Eaten", "Lost", "Discarded", "Still there", "Elsewhere"):
        assert way in end
    assert f"{box_5[:3]} {box_5[3:]}" in end


def test_a_count_goes_on_after_a_reload_and_on_another_device(house, client, boxes):
    tell(client, boxes[0], boxes[1])
    with httpx.Client(base_url=house.address, follow_redirects=True) as other:
        assert "a count is under way" in words(other.get("/stock-take").text)
        page = tell(other, boxes[2])
        assert "Seen: 3 of 6" in page

    assert "Seen: 3 of 6" in client.get("/stock-take?place=freezer").text


def test_each_answer_is_recorded_and_one_undo_takes_all_of_it_back(
    house, client, boxes
):
    eaten, lost, thrown, there, away, seen = boxes
    tell(client, seen)
    answer = finish(
        client,
        **{
            f"what_{eaten}": "eaten",
            f"what_{lost}": "lost",
            f"what_{thrown}": "discarded",
            f"reason_{thrown}": "freezer burn",
            f"what_{there}": "still there",
            f"what_{away}": "elsewhere",
            f"to_{away}": "Fridge",
            f"at_{away}": "2026-11-03T07:33",
        },
    )

    assert "Recorded: the place was counted." in answer.text
    assert "a count is under way" not in answer.text
    ends = {code: found(house, code).end_kind for code in boxes}
    assert ends[eaten] == "used"
    assert ends[lost] == "missing"
    assert ends[thrown] == "discarded"
    assert {ends[there], ends[away], ends[seen]} == {""}
    assert found(house, away).place == "Fridge"
    with house.session().read() as unit:
        assert set(last_stock_takes(unit)) == {"freezer"}

    undo = hidden_fields(answer.text, "/undo")
    client.post("/undo", data=undo)
    assert {found(house, code).place for code in boxes} == {"Freezer"}
    with house.session().read() as unit:
        assert last_stock_takes(unit) == {}
    # What was scanned is still known: the count goes on.
    assert "Seen: 1 of 6" in client.get("/stock-take?place=Freezer").text


def test_what_is_elsewhere_out_of_the_cold_has_to_be_said_since_when(
    house, client, boxes
):
    tell(client, *boxes[1:])
    said = {f"what_{boxes[0]}": "elsewhere", f"to_{boxes[0]}": "Counter"}
    answer = finish(client, **said)

    assert answer.status_code == 422
    assert "say since when it is there" in answer.text
    # What was typed is still there, and nothing is recorded.
    assert "<option selected>Counter" in answer.text
    assert found(house, boxes[0]).place == "Freezer"
    assert "Seen: 5 of 6" in client.get("/stock-take?place=Freezer").text


def test_what_is_past_its_day_was_not_eaten_now(house, client):
    (old,) = house.prep("bean stew", days_ago=9)
    (fresh,) = house.prep("ragu")
    tell(client, fresh, place="Fridge")
    said = {f"what_{old}": "eaten"}
    answer = finish(client, "Fridge", **said)
    assert answer.status_code == 422
    assert "if it was eaten before that, say when" in answer.text

    answer = finish(client, "Fridge", **said, **{f"at_{old}": "2026-10-26T12:30"})
    assert answer.status_code == 200
    assert found(house, old).end_kind == "used"


def test_lids_from_elsewhere_and_strangers_are_told_and_moved_if_said(
    house, client, boxes
):
    (stew,) = house.prep("stew")
    house.now += timedelta(minutes=1)
    page = tell(client, *boxes, stew, STRANGER, "<b>junk</b>")
    assert "was in Fridge" in page
    assert f"not known: {STRANGER[:3]} {STRANGER[3:]} is not in this kitchen" in page
    assert "<b>junk" not in page
    end = client.get("/stock-take/end?place=Freezer").text
    assert "1 from elsewhere" in end
    assert "2 not known" in end
    assert f'href="/prep/adopt?code={STRANGER}"' in end
    taking = client.get(f"/prep/adopt?food=soup&code={STRANGER}").text
    assert f'name="code" maxlength="20" autocomplete="off" value="{STRANGER}"' in taking

    finish(client, moves="yes")
    assert found(house, stew).place == "Freezer"


def test_a_count_that_was_ended_elsewhere_takes_nothing_more(client, boxes):
    page = tell(client, boxes[0])
    form = hidden_fields(page, "/stock-take")
    drop = client.post("/stock-take/drop", data=hidden_fields(page, "/stock-take/drop"))
    assert "nothing of this count is recorded" in drop.text
    late = client.post("/stock-take", data={**form, "line": boxes[1]})

    assert late.status_code == 409
    assert "this count has ended" in late.text
    # Begun anew it holds nothing of the one before.
    assert "Seen: 0 of 6" in client.get("/stock-take?place=Freezer").text


def test_where_no_lid_was_scanned_nothing_is_recorded(house, client, boxes):
    (stew,) = house.prep("stew", days_ago=1)
    tell(client, boxes[0], place="Fridge")
    page = client.post(
        "/stock-take",
        data={**hidden_fields(tell(client, boxes[0]), "/stock-take"), "line": " "},
    )

    assert "nothing in that line can be read" in page.text
    assert finish(client, "Fridge").status_code == 200
    assert found(house, stew).place == "Fridge"


def test_a_photo_of_a_shelf_counts_every_lid_in_it(client, boxes):
    import io

    import segno
    from PIL import Image

    shelf = Image.new("L", (900, 400), 255)
    for number, code in enumerate(boxes[:2]):
        picture = io.BytesIO()
        segno.make(f"HTTP://LIDCLOCK.LOCAL/C/{code}").save(picture, "png", scale=8)
        shelf.paste(Image.open(picture), (40 + 430 * number, 40))
    photo = io.BytesIO()
    shelf.save(photo, "png")
    page = client.get("/stock-take?place=Freezer").text
    form = hidden_fields(page, "/stock-take")

    said = client.post(
        "/stock-take",
        data={**form, "line": ""},
        files={"photo": ("shelf.png", photo.getvalue())},
    )

    assert "Seen: 2 of 6" in said.text


def test_a_form_of_another_site_counts_nothing(client, boxes):
    form = {"place": "Freezer", "count": "", "csrf": "x"}
    data = {**form, "line": boxes[0]}
    files = {"photo": ("", b"")}

    assert client.post("/stock-take", data=data, files=files).status_code == 403
    assert "Seen: 0 of 6" in client.get("/stock-take?place=Freezer").text


SEES = "n => document.getElementById('seen').textContent.includes(n)"


def open_count(page):
    page.goto("/stock-take?place=Freezer")
    page.wait_for_selector("html[data-ready] #count")


def test_a_scanner_counts_lid_after_lid_and_two_devices_see_it(
    house, phone, boxes, browser
):
    open_count(phone)
    other = browser.new_context(base_url=house.address).new_page()
    open_count(other)
    for number, code in enumerate(boxes[:3], start=1):
        scan(phone, code)
        until(
            phone,
            SEES,
            f"{number} of 6",
        )
    assert "3 of 6" in phone.inner_text("#answer")
    until(other, SEES, "3 of")

    scan(phone, boxes[0])
    until(
        phone,
        "n => document.getElementById('answer').textContent.includes(n)",
        "scanned before: bun dough box 1",
    )
    other.context.close()
    phone.reload()
    assert "3 of 6" in phone.inner_text("#seen")
    phone.get_by_role("link", name="That is all: what is missing?").click()
    phone.get_by_text("3 missing: 923 g").wait_for()


SEEN_EACH = """() => { window.said = [];
    const told = () => said.push(document.getElementById("seen").textContent.trim());
    new MutationObserver(told).observe(document.getElementById("seen").parentElement,
        { childList: true, subtree: true, characterData: true }); }"""


def test_an_answer_that_comes_late_is_not_shown_over_a_newer_one(
    house, client, boxes, browser
):
    """The first of three changes is asked for, and answered after the second."""
    page = browser.new_context(base_url=house.address).new_page()
    open_count(page)
    tell(client, boxes[0])
    until(page, SEES, "1 of 6")
    late = []

    def hold_the_first(route):
        if late:
            route.continue_()
        else:
            late.append((route, route.fetch()))

    page.route("**/stock-take?place=Freezer", hold_the_first)
    page.evaluate(SEEN_EACH)
    tell(client, boxes[1])
    while not late:
        page.wait_for_timeout(10)
    tell(client, boxes[2])
    until(page, SEES, "3 of 6")
    route, answer = late[0]
    route.fulfill(response=answer)
    tell(client, boxes[3])
    until(page, SEES, "4 of 6")

    assert "2 of 6" not in " ".join(page.evaluate("said"))
    page.context.close()


def test_without_a_signal_lids_wait_on_the_device(house, browser, boxes):
    # A page of its own: here the console may say that nothing could be reached.
    phone = browser.new_context(base_url=house.address).new_page()
    open_count(phone)
    # The connection breaks: the server is there, but nothing reaches it.
    phone.route("**/stock-take", lambda route: route.abort())
    scan(phone, boxes[0])
    phone.get_by_text("Kept on this device, sent when there is a signal: 1").wait_for()
    scan(phone, boxes[1])
    phone.unroute("**/stock-take")
    phone.evaluate("dispatchEvent(new Event('online'))")
    until(phone, "() => document.getElementById('seen').textContent.includes('2 of 6')")

    phone.locator("#waiting").wait_for(state="hidden")
    assert phone.evaluate("Object.values(localStorage).join()").count(boxes[0]) == 0
    phone.context.close()


def test_what_was_used_on_another_phone_meanwhile_is_not_missing(house, client, boxes):
    tell(client, *boxes[1:])
    session = house.session()
    with session.write() as unit:
        moves.use(unit, boxes[0], anyway=True)

    assert "0 missing" in client.get("/stock-take/end?place=Freezer").text


def test_what_waits_for_a_count_that_ended_is_no_part_of_the_next(
    house, browser, client, boxes
):
    tell(client, boxes[0])
    phone = browser.new_context(base_url=house.address).new_page()
    open_count(phone)
    phone.route("**/stock-take", lambda route: route.abort())
    scan(phone, boxes[1])
    phone.get_by_text("Kept on this device, sent when there is a signal: 1").wait_for()
    finish(client)
    tell(client, boxes[2])
    phone.unroute("**/stock-take")
    open_count(phone)
    until(phone, "() => /this count has ended/i.test(document.body.innerText)")

    assert "Seen: 1 of 6" in client.get("/stock-take?place=Freezer").text
    # It is told once, and the next lid counts.
    open_count(phone)
    scan(phone, boxes[3])
    until(phone, "() => document.getElementById('seen').textContent.includes('2 of 6')")
    phone.context.close()


def test_lids_that_two_tabs_keep_are_all_counted(house, browser, boxes):
    context = browser.new_context(base_url=house.address)
    context.route("**/stock-take", lambda route: route.abort())
    first, second = context.new_page(), context.new_page()
    open_count(first)
    open_count(second)
    for tab, code in ((first, boxes[0]), (second, boxes[1])):
        tab.bring_to_front()
        scan(tab, code)
        tab.get_by_text("Kept on this device, sent when there is a signal").wait_for()
    first.close()
    second.close()
    context.unroute("**/stock-take")
    page = context.new_page()
    open_count(page)
    until(page, "() => document.getElementById('seen').textContent.includes('2 of 6')")
    context.close()


def test_a_lid_that_cannot_be_kept_is_told_and_not_lost_silently(house, browser, boxes):
    page = browser.new_context(base_url=house.address).new_page()
    page.add_init_script(
        """Storage.prototype.setItem = () => {
            throw new DOMException("full", "QuotaExceededError"); };"""
    )
    open_count(page)
    scan(page, boxes[0])
    until(page, "() => /could not keep/.test(document.body.innerText)")

    assert "0 of 6" in page.inner_text("#seen")
    page.context.close()


def test_who_goes_by_keyboard_stays_where_they_were_when_others_count(
    client, phone, boxes
):
    tell(client, boxes[0])
    open_count(phone)
    link = phone.get_by_role("link", name="That is all: what is missing?")
    link.focus()
    tell(client, boxes[1])
    until(phone, "() => document.getElementById('seen').textContent.includes('2 of 6')")

    assert link.evaluate("link => link === document.activeElement")
