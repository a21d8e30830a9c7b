"""Lids by picture: a camera that films a printed label, photos, and what is none."""

import io
import random
import re

import pypdfium2
import pytest
from PIL import Image
from tests.web.conftest import CHROMIUM
from tests.web.scanning import (
    HAS_LINES,
    choose,
    hold_clock,
    open_scan,
    prep,
    settled,
    until,
)

from lidclock.app.lids import draw_labels, views_to_label
from lidclock.app.serving import LOOPBACK
from lidclock.web.app import Settings

FRAME = (640, 480)
FRAMES = 30


def label(house, code):
    """The label of a container as the product itself prints it, as a picture."""
    with house.session().read() as unit:
        drawn = draw_labels(unit, views_to_label(unit, [code]))
    page = pypdfium2.PdfDocument(drawn.pdf)[0].render(scale=6).to_pil().convert("L")
    # The label without the empty rest of its sheet.
    left, top, right, bottom = page.point(lambda grey: 255 - grey).getbbox()
    return page.crop((max(0, left - 40), max(0, top - 40), right + 40, bottom + 40))


def filmed(picture):
    """A frame with the picture held a little askew on a grey table."""
    frame = Image.new("L", FRAME, 150)
    shown = picture.copy()
    shown.thumbnail((FRAME[0] - 40, FRAME[1] - 40))
    shown = shown.rotate(
        4, expand=True, fillcolor=150, resample=Image.Resampling.BICUBIC
    )
    frame.paste(shown, ((FRAME[0] - shown.width) // 2, (FRAME[1] - shown.height) // 2))
    return frame


def video(path, pictures):
    """A film of pictures, each for a second; Motion JPEG is JPEG after JPEG."""
    with path.open("wb") as file:
        for picture in pictures:
            frame = io.BytesIO()
            filmed(picture).convert("RGB").save(frame, "JPEG", quality=90)
            file.write(frame.getvalue() * FRAMES)
    return path


@pytest.fixture
def camera(browser, house, tmp_path):
    """A browser whose camera films what it is given; `address` is where it opens."""
    opened = []

    def film(pictures, address="", args=()):
        path = video(tmp_path / "film.mjpeg", pictures)
        own = browser.browser_type.launch(
            executable_path=CHROMIUM,
            args=[
                *("--no-sandbox", "--disable-gpu"),
                "--use-fake-device-for-media-stream",
                "--use-fake-ui-for-media-stream",
                f"--use-file-for-fake-video-capture={path}",
                *args,
            ],
        )
        opened.append(own)
        context = own.new_context(
            base_url=address or house.address, viewport={"width": 390, "height": 844}
        )
        page = context.new_page()
        hold_clock(page, house.now)
        return page

    yield film
    for one in opened:
        one.close()


def test_the_camera_scans_a_printed_label_once_while_it_is_in_view(house, camera):
    (code,) = prep(house)
    page = camera([label(house, code)])
    asked = []
    page.on("request", lambda one: asked.append(one.url))
    open_scan(page)
    choose(page, "Use")
    page.get_by_role("button", name="Camera").click()
    settled(page, 1)
    page.wait_for_timeout(2500)

    with house.session().read() as unit:
        assert unit.find(code).end_kind == "used"
        assert [one.kind for one in unit.ledger.all()].count("used") == 1
    # Held in view for seconds it is one scan, not one after another.
    assert page.locator("#lines li").count() == 2
    assert page.locator("#view").is_visible()

    page.get_by_role("button", name="Stop the camera").click()
    before = len([url for url in asked if url.endswith("/scan/photo")])
    page.wait_for_timeout(1500)

    assert page.locator("#view").is_hidden()
    assert len([url for url in asked if url.endswith("/scan/photo")]) == before


def test_the_camera_asks_twice_a_second_at_most(house, camera):
    prep(house)
    page = camera([Image.new("L", FRAME, 200)])
    at = []
    page.on("request", lambda one: at.append(one.url))
    open_scan(page)
    page.get_by_role("button", name="Camera").click()
    page.wait_for_selector("#view:not([hidden])")
    page.wait_for_timeout(3000)

    assert len([url for url in at if url.endswith("/scan/photo")]) <= 7
    # A picture without a lid is the usual case, and no word is said of it.
    assert page.locator("#lines li").count() == 0


def test_two_lids_in_view_are_none(house, camera):
    first, second = (label(house, code) for code in prep(house, count=2))
    both = Image.new("L", (max(first.width, second.width), 2 * first.height + 60), 255)
    both.paste(first, (0, 0))
    both.paste(second, (0, first.height + 60))
    page = camera([both])
    open_scan(page)
    choose(page, "Use")
    page.get_by_role("button", name="Camera").click()
    until(page, "() => /shows 2 containers/.test(document.body.innerText)")

    with house.session().read() as unit:
        assert all(one.kind != "used" for one in unit.ledger.all())


def test_without_a_trusted_address_the_page_says_what_works(house, camera):
    house.app.state.settings = Settings(hosts=(*LOOPBACK, "kitchen.test"))
    house.app.guard = None  # made anew, with the other name
    (code,) = prep(house)
    port = house.address.rpartition(":")[2]
    page = camera(
        [Image.new("L", FRAME, 200)],
        f"http://kitchen.test:{port}",
        ["--host-resolver-rules=MAP kitchen.test 127.0.0.1"],
    )
    open_scan(page)

    assert page.evaluate("() => isSecureContext") is False
    says = page.inner_text("#insecure")
    assert "live camera and scanning without a signal do not work" in says
    assert "A photo of the lid, a typed code and a scanner that types do" in says
    assert page.get_by_role("button", name="Camera", exact=True).count() == 0
    page.locator("#line").fill(code)
    page.keyboard.press("Enter")
    until(page, HAS_LINES, 1)

    assert "stew: keep" in page.inner_text("#answer")


def png(picture):
    file = io.BytesIO()
    picture.save(file, "PNG")
    return file.getvalue()


def test_a_photo_of_a_label_is_a_scan(house, phone):
    (code,) = prep(house)
    hold_clock(phone, house.now)
    open_scan(phone)
    photo = {"name": "lid.png", "mimeType": "image/png"}
    phone.set_input_files(
        "input[type=file]", [{**photo, "buffer": png(label(house, code))}]
    )
    until(phone, HAS_LINES, 1)

    assert "stew: keep" in phone.inner_text("#answer")
    assert phone.get_attribute("input[type=file]", "capture") == "environment"


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
    monkeypatch.setattr("lidclock.web.pages.scan._MOST_FORM_BYTES", 1000)
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
