"""Photos of lids, read on the device or by the kitchen, and what is none."""

import random
import re

import pytest
from PIL import Image
from tests.web.pictures import label, png, stacked
from tests.web.scanning import (
    HAS_LINES,
    choose,
    hold_clock,
    open_scan,
    prep,
    ready,
    until,
)

READER = "**/zxing_reader.wasm"


def take(page, picture):
    """Choose a photo, as if it was just taken; what is asked of the kitchen for it."""
    asked = []
    page.on("request", lambda one: asked.append(one.url.rpartition("/scan/")[2]))
    photo = {"name": "lid.png", "mimeType": "image/png", "buffer": png(picture)}
    page.set_input_files("input[type=file]", [photo])
    return asked


def test_a_photo_of_a_label_is_a_scan_and_stays_on_the_device(house, phone):
    (code,) = prep(house)
    hold_clock(phone, house.now)
    open_scan(phone)
    asked = take(phone, label(house, code))
    until(phone, HAS_LINES, 1)

    assert "stew: keep" in phone.inner_text("#answer")
    assert phone.get_attribute("input[type=file]", "capture") == "environment"
    assert "check" in asked
    assert "photo" not in asked


def test_a_browser_that_cannot_read_photos_has_the_kitchen_read_them(house, browser):
    (code,) = prep(house)
    context = browser.new_context(base_url=house.address, service_workers="block")
    page = context.new_page()
    hold_clock(page, house.now)
    context.route(READER, lambda route: route.abort())
    open_scan(page)
    asked = take(page, label(house, code))
    until(page, HAS_LINES, 1)

    assert "stew: keep" in page.inner_text("#answer")
    assert asked.index("photo") < asked.index("check")
    context.close()


def test_without_a_signal_a_photo_is_read_or_says_what_to_do(house, browser, signal):
    (code,) = prep(house)
    context = browser.new_context(base_url=signal.address)
    page = context.new_page()
    hold_clock(page, house.now)
    ready(page)
    signal.cut()
    open_scan(page)
    take(page, Image.new("L", (300, 300), 255))
    until(page, "() => /No lid was found in the photo/.test(document.body.innerText)")
    take(page, label(house, code))
    until(page, "() => /as known since/.test(document.body.innerText)")

    assert f"{code[:3]} {code[3:]} stew" in page.inner_text("#answer")
    context.close()


def test_a_photo_of_two_lids_is_none(house, phone):
    codes = prep(house, count=2)
    open_scan(phone)
    choose(phone, "Use")
    asked = take(phone, stacked([label(house, code) for code in codes]))
    until(phone, "() => /Several lids are in view/.test(document.body.innerText)")

    assert "photo" not in asked
    with house.session().read() as unit:
        assert all(one.kind != "used" for one in unit.ledger.all())


def test_a_large_photo_taken_sideways_is_read(house, phone):
    """12 megapixels, as a phone has it, the lid a third of its width."""
    (code,) = prep(house)
    hold_clock(phone, house.now)
    shown = label(house, code)
    shown = shown.resize((1300, shown.height * 1300 // shown.width))
    photo = Image.new("L", (4000, 3000), 150)
    photo.paste(shown.rotate(97, expand=True, fillcolor=150), (1500, 900))
    open_scan(phone)
    asked = take(phone, photo)
    until(phone, HAS_LINES, 1)

    assert "stew: keep" in phone.inner_text("#answer")
    assert "photo" not in asked


NOISE = random.Random(7).randbytes(4000)


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (NOISE, "does not open as a picture"),
        (b"", "does not open as a picture"),
        (b"%!PS-Adobe-3.0\n(x) show", "does not open as a picture"),
        (png(Image.new("L", (300, 300), 255)), "no symbol found in the photo"),
        (png(Image.new("1", (20_000, 20_000))), "more pixels than any photo"),
    ],
    ids=["noise", "nothing", "a program", "blank", "huge"],
)
def test_a_photo_that_is_none_is_answered_in_words(client, content, says):
    answer = client.post("/scan/photo", content=content)

    assert answer.status_code == 200
    assert answer.json()["line"] == ""
    assert says in answer.json()["says"]
    form = re.search(r'name="csrf" value="([^"]+)"', client.get("/scan").text)[1]
    page = client.post(
        "/scan", data={"csrf": form}, files={"photo": ("x.jpg", content)}
    )
    assert page.status_code == 200
    assert says in page.text or not content


def test_a_photo_that_is_too_large_is_refused(client, monkeypatch):
    monkeypatch.setattr("lidclock.web.pages.scan.MOST_PHOTO_BYTES", 1000)
    monkeypatch.setattr("lidclock.web.pages.photo_form._MOST_FORM_BYTES", 1000)
    form = re.search(r'name="csrf" value="([^"]+)"', client.get("/scan").text)[1]
    files = {"photo": ("x.jpg", b"x" * 2000)}

    assert client.post("/scan/photo", content=b"x" * 2000).status_code == 413
    answer = client.post("/scan", data={"csrf": form}, files=files)
    assert answer.status_code == 413
    assert "MB at most" in answer.text


def test_a_photo_works_without_scripts(house, client):
    (code,) = prep(house)
    form = re.search(r'name="csrf" value="([^"]+)"', client.get("/scan").text)[1]
    answer = client.post(
        "/scan",
        data={"csrf": form, "action": "USE"},
        files={"photo": ("lid.png", png(label(house, code)))},
    )

    assert "stew: used" in answer.text
    with house.session().read() as unit:
        assert unit.find(code).end_kind == "used"
