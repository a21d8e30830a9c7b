"""A camera that films printed labels, read in the browser by what is vendored."""

import hashlib
import json
import re
from pathlib import Path

import pytest
from PIL import Image
from tests.web.conftest import CHROMIUM, FLAGS, patient
from tests.web.phones import KEPT
from tests.web.pictures import FRAME, label, stacked, symbol, video
from tests.web.scanning import (
    HAS_LINES,
    choose,
    hold_clock,
    open_scan,
    prep,
    ready,
    scan,
    settled,
    until,
)

from lidclock.app.serving import LOOPBACK
from lidclock.scan.keyboard import SET_UP_TEXT
from lidclock.web.app import Settings

STATIC = Path(__file__).parents[2] / "src" / "lidclock" / "web" / "static"
VENDORED = STATIC / "vendor" / "zxing-wasm"
READER = "/static/vendor/zxing-wasm/zxing_reader.wasm"
# An invented keyboard that changes the letter before every code in an address.
SWAPPED = str.maketrans("CK", "KC")


@pytest.fixture
def camera(browser, house, tmp_path):
    """A browser whose camera films what it is given; `address` is where it opens."""
    opened = []

    def film(pictures, address="", args=()):
        path = video(tmp_path / "film.mjpeg", pictures)
        own = browser.browser_type.launch(
            executable_path=CHROMIUM,
            args=[
                *FLAGS,
                "--use-fake-device-for-media-stream",
                "--use-fake-ui-for-media-stream",
                f"--use-file-for-fake-video-capture={path}",
                *args,
            ],
        )
        opened.append(own)
        context = patient(own).new_context(
            base_url=address or house.address, viewport={"width": 390, "height": 844}
        )
        page = context.new_page()
        hold_clock(page, house.now)
        return page

    yield film
    for one in opened:
        one.close()


def used(house):
    """The codes of what was used, as often as it was recorded."""
    with house.session().read() as unit:
        return [one.subject for one in unit.ledger.all() if one.kind == "used"]


def sent_from(page):
    """What a page sends from now on: address, kind and bytes of each body."""
    sent = []

    def note(request):
        if request.method == "POST":
            kind = request.headers.get("content-type", "")
            sent.append((request.url, kind, request.post_data_buffer or b""))

    page.context.on("request", note)
    return sent


def film_begins(page):
    """Tap the camera and wait until it shows something."""
    page.get_by_role("button", name="Camera", exact=True).click()
    page.wait_for_selector("#view:not([hidden])")


def test_the_camera_scans_a_printed_label_once_while_it_is_in_view(house, camera):
    (code,) = prep(house)
    page = camera([label(house, code)])
    sent = sent_from(page)
    open_scan(page)
    choose(page, "Use")
    film_begins(page)
    settled(page, 1)
    page.wait_for_timeout(2500)

    # Held in view for seconds it is one scan, not one after another.
    assert used(house) == [code]
    assert page.locator("#lines li").count() == 2
    # The line and the event went out, and no picture: JSON, a few hundred bytes.
    assert {kind for _, kind, _ in sent} == {"application/json"}
    assert max(len(json.dumps(json.loads(body))) for *_, body in sent) < 1000

    page.get_by_role("button", name="Stop the camera").click()

    page.locator("#view").wait_for(state="hidden")
    assert page.evaluate("() => document.getElementById('view').srcObject") is None


HIDDEN = """isHidden => {
    Object.defineProperty(document, "hidden", { value: isHidden, configurable: true });
    document.dispatchEvent(new Event("visibilitychange")); }"""
IS_FILMING = "() => Boolean(document.getElementById('view').srcObject?.active)"


def test_the_camera_rests_while_its_page_is_behind_another(house, camera):
    """A browser that a script drives hides no page: the page is told that it is."""
    (code,) = prep(house)
    page = camera([label(house, code)])
    open_scan(page)
    film_begins(page)
    page.evaluate(
        "() => { globalThis.filmed = document.getElementById('view').srcObject; }"
    )
    page.evaluate(HIDDEN, True)

    page.locator("#view").wait_for(state="hidden")
    assert page.evaluate("filmed.getTracks().map(one => one.readyState)") == ["ended"]

    page.evaluate(HIDDEN, False)
    page.locator("#view").wait_for(state="visible")
    until(page, IS_FILMING)

    page.get_by_role("button", name="Stop the camera").click()
    page.evaluate(HIDDEN, True)
    page.evaluate(HIDDEN, False)
    assert not page.evaluate(IS_FILMING)
    assert page.locator("#view").is_hidden()


def test_a_camera_that_was_allowed_behind_another_window_rests_at_once(house, camera):
    prep(house)
    page = camera([Image.new("L", FRAME, 200)])
    page.add_init_script(
        """const ask = MediaDevices.prototype.getUserMedia;
        MediaDevices.prototype.getUserMedia = async function (...given) {
            await new Promise(done => { globalThis.allow = done; });
            return globalThis.filmed = await ask.apply(this, given); };"""
    )
    open_scan(page)
    page.get_by_role("button", name="Camera", exact=True).click()
    until(page, "() => Boolean(globalThis.allow)")
    page.evaluate(HIDDEN, True)
    page.evaluate("() => allow()")
    until(page, "() => globalThis.filmed?.active === false")

    assert page.locator("#view").is_hidden()


@pytest.mark.parametrize("kind", ["qr", "code128", "data-matrix", "small label"])
def test_without_a_signal_the_camera_reads_each_symbol(house, camera, signal, kind):
    (code,) = prep(house)
    shown = {
        "qr": lambda: symbol("qr", f"HTTP://LIDCLOCK.LOCAL/C/{code}"),
        "code128": lambda: symbol("code128", code),
        "data-matrix": lambda: symbol("data-matrix", code),
        "small label": lambda: label(house, code, "roll-25x25"),
    }
    page = camera([shown[kind]()], signal.address)
    ready(page)
    signal.cut()
    open_scan(page)
    choose(page, "Use")
    sent = sent_from(page)
    film_begins(page)
    until(page, f"async () => (await ({KEPT})()).length === 1")

    (event,) = page.evaluate(KEPT)
    assert (event["kind"], event["subject"]) == ("used", code)
    assert used(house) == []
    assert not [kind for _, kind, _ in sent if kind != "application/json"]

    signal.restore()
    open_scan(page)
    until(page, f"async () => (await ({KEPT})()).length === 0")

    assert used(house) == [code]


def test_a_lid_that_comes_back_counts_again(house, camera):
    first, second = prep(house, count=2)
    nothing = Image.new("L", FRAME, 200)
    # Nine seconds, over and over: each lid is away for longer than two.
    film = [label(house, first), nothing, label(house, second)]
    page = camera([*[film[0]] * 3, *[nothing] * 3, *[film[2]] * 3])
    open_scan(page)
    film_begins(page)
    until(page, HAS_LINES, 3)

    lines = page.locator("#lines li").all_inner_texts()[::-1]
    codes = [line[:8].replace(" ", "") for line in lines[:3]]
    assert codes in ([first, second, first], [second, first, second])


def test_the_camera_looks_four_times_a_second_at_most(house, camera):
    prep(house)
    page = camera([Image.new("L", FRAME, 200)])
    page.add_init_script(
        """window.looks = [];
        const draw = CanvasRenderingContext2D.prototype.getImageData;
        CanvasRenderingContext2D.prototype.getImageData = function (...given) {
            looks.push(performance.now()); return draw.apply(this, given); };"""
    )
    open_scan(page)
    film_begins(page)
    until(page, "() => looks.length > 12")
    looks = page.evaluate("looks")

    # Each second from one look on has four at most, and the one at its end.
    for number, look in enumerate(looks):
        assert sum(look <= other < look + 1000 for other in looks[number:]) <= 5
    # A picture without a lid is the usual case, and no word is said of it.
    assert page.locator("#lines li").count() == 0


def test_the_reader_is_fetched_from_this_kitchen_and_only_when_it_is_wanted(
    house, camera
):
    prep(house)
    page = camera([Image.new("L", FRAME, 200)])
    # Without the worker that keeps files ahead, which would fetch it too.
    page.add_init_script("navigator.serviceWorker.register = async () => {};")
    asked = []
    page.context.on("request", lambda one: asked.append(one.url))
    open_scan(page)
    page.wait_for_timeout(500)
    assert not [url for url in asked if "vendor" in url or "reader.js" in url]

    with page.expect_request(f"**{READER}"):
        film_begins(page)

    assert f"{house.address}{READER}" in asked
    assert all(url.startswith((house.address, "data:", "blob:")) for url in asked)


def test_two_lids_in_view_are_none(house, camera):
    codes = prep(house, count=2)
    page = camera([stacked([label(house, code) for code in codes])])
    open_scan(page)
    choose(page, "Use")
    film_begins(page)
    until(page, "() => /Several lids are in view/.test(document.body.innerText)")
    page.wait_for_timeout(2000)

    assert used(house) == []
    # Said once, however often it is seen.
    assert page.locator("#lines").inner_text().count("Several lids") == 1


def test_a_browser_that_cannot_run_the_reader_says_so_and_stops(house, camera):
    (code,) = prep(house)
    page = camera([label(house, code)])
    page.add_init_script("navigator.serviceWorker.register = async () => {};")
    page.context.route(f"**{READER}", lambda route: route.abort())
    open_scan(page)
    # What the camera sees may be gone again before anybody could look.
    page.get_by_role("button", name="Camera", exact=True).click()
    until(
        page, "() => /cannot read what the camera sees/.test(document.body.innerText)"
    )

    page.locator("#view").wait_for(state="hidden")
    button = page.get_by_role("button", name="Camera", exact=True)
    assert button.get_attribute("aria-pressed") == "false"

    # Once it can be had, the camera works without a reload.
    page.context.unroute(f"**{READER}")
    film_begins(page)
    until(page, "() => /stew: keep/.test(document.querySelector('#answer').innerText)")


def test_what_the_camera_sees_is_not_taken_for_typed(house, camera, signal):
    """A keyboard's table undoes what a scanner types, and would spoil an address."""
    (code,) = prep(house)
    page = camera([symbol("qr", f"HTTP://LIDCLOCK.LOCAL/C/{code}")], signal.address)
    ready(page)
    scan(page, SET_UP_TEXT.translate(SWAPPED))
    until(page, HAS_LINES, 1)
    signal.cut()
    open_scan(page)
    choose(page, "Use")
    film_begins(page)
    until(page, f"async () => (await ({KEPT})()).length === 1")

    assert page.evaluate(KEPT)[0]["subject"] == code


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


def test_the_reader_is_served_as_what_it_is(client):
    answer = client.get(READER)

    assert answer.headers["content-type"] == "application/wasm"
    # Nothing else may run than files of ours, and WebAssembly that they compile.
    policy = answer.headers["content-security-policy"]
    assert "script-src 'self' 'wasm-unsafe-eval';" in policy
    assert client.head(READER).status_code == 200


def test_what_is_vendored_is_what_its_readme_says():
    told = dict(
        re.findall(r"\| `(zxing_reader\.\w+)` \|.*`([0-9a-f]{64})` \|", _readme())
    )

    assert set(told) == {path.name for path in VENDORED.glob("zxing_reader.*")}
    for name, digest in told.items():
        content = (VENDORED / name).read_bytes()
        assert hashlib.sha256(content).hexdigest() == digest
        assert b"https://" not in content
    licences = {"LICENSE", "LICENSE.zxing-cpp", "NOTICE.zxing-cpp"}
    assert all(f"`{name}`" in _readme() for name in licences)
    assert licences <= {path.name for path in VENDORED.iterdir()}


def _readme():
    return (VENDORED / "README.md").read_text("utf-8")


def test_the_camera_counts_a_lid_of_a_recount(house, camera):
    (code,) = prep(house)
    page = camera([label(house, code)])
    page.goto("/stock-take?place=Fridge")
    page.wait_for_selector("html[data-ready] #count")
    film_begins(page)
    until(page, "() => document.getElementById('seen').innerText.includes('1 of 1')")
    page.get_by_role("button", name="Stop the camera").click()

    page.locator("#view").wait_for(state="hidden")


def test_a_recount_is_told_that_several_lids_are_in_view(house, camera):
    codes = prep(house, count=2)
    page = camera([stacked([label(house, code) for code in codes])])
    page.goto("/stock-take?place=Fridge")
    page.wait_for_selector("html[data-ready] #count")
    film_begins(page)
    until(page, "() => /Several lids are in view/.test(document.body.innerText)")

    assert "0 of 2" in page.inner_text("#seen")
