"""Without a signal: nothing is lost, nothing comes twice, and a person is told."""

import json
import re
from datetime import timedelta
from itertools import pairwise

import pytest
from tests.web.phones import IS_EMPTY, KEPT, SEND, Phone, recorded
from tests.web.scanning import (
    HAS_LINES,
    HAS_PROBLEMS,
    choose,
    hold_clock,
    open_scan,
    ready,
    scan,
    until,
)

from lidclock.app import moves
from lidclock.domain.codes import new_code
from lidclock.web.files import STATIC, address, version_of
from lidclock.web.pages.offline import worker_text

MOST_SCRIPT_BYTES = 60_000
NOT_COUNTED = ("camera.js", "pictures.js", "reading.js", "reader.js", "worker.js")
# RFC 9562, section 5.7.
UUID7 = r"[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}"


@pytest.fixture
def phone(browser, signal, house, tmp_path):
    found = Phone(browser, signal, house, tmp_path / "profile")
    yield found
    found.close()


def test_a_day_without_a_signal_arrives_whole_and_once(house, signal, phone):
    codes = house.prep("stew", count=10)
    page = phone.open()
    ready(page)
    signal.cut()
    open_scan(page)
    done = 0
    for minute, action in enumerate(
        ("Freeze", "Thaw", "Open", "To Counter", "Use"), start=6
    ):
        hold_clock(page, house.now + timedelta(minutes=minute))
        choose(page, action)
        for code in codes:
            scan(page, code)
        done += len(codes)
        until(page, f"async () => (await ({KEPT})()).length === {done}")
    phone.close()
    page = phone.open(15)
    open_scan(page)
    until(page, "() => /Waiting to be sent: 50/.test(document.body.innerText)")
    assert recorded(house) == []

    house.now += timedelta(minutes=15)
    signal.restore()
    open_scan(page)
    until(page, IS_EMPTY)

    events = recorded(house)
    assert len(events) == 50
    assert len({event.id for event in events}) == 50
    assert [one.subject for one in events[:10]] == codes
    assert [one.kind for one in events[::10]] == [
        *("placed", "placed", "opened", "placed", "used"),
    ]
    times = [one.happened_at for one in events]
    assert times[0] == house.now - timedelta(minutes=9)
    assert all(a <= b for a, b in pairwise(times))
    with house.session().read() as unit:
        assert {unit.find(code).end_kind for code in codes} == {"used"}


def test_an_answer_that_is_lost_does_not_record_twice(house, signal, phone):
    (code,) = house.prep("stew")
    page = phone.open()
    ready(page)
    signal.cut()
    choose(page, "Use")
    scan(page, code)
    until(page, f"async () => (await ({KEPT})()).length === 1")
    house.now += timedelta(minutes=15)
    signal.restore()
    signal.is_deaf = True
    page.evaluate(SEND)

    assert len(recorded(house)) == 1
    assert len(page.evaluate(KEPT)) == 1

    signal.is_deaf = False
    page.evaluate(SEND)

    assert page.evaluate(KEPT) == []
    assert len(recorded(house)) == 1


def test_two_tabs_do_not_send_twice(house, signal, phone):
    codes = house.prep("stew", count=3)
    page = phone.open()
    ready(page)
    signal.cut()
    choose(page, "Use")
    for code in codes:
        scan(page, code)
    until(page, f"async () => (await ({KEPT})()).length === 3")
    other = phone.context.new_page()
    open_scan(other)
    house.now += timedelta(minutes=15)
    sent = []
    for tab in (page, other):
        tab.on("request", lambda one: sent.append(one.post_data or "{}"))
    signal.restore()
    # So slow that the second tab begins before the first has its answer.
    signal.slow_s = 1.0
    for tab in (page, other):
        # Not waited for: both begin at once.
        tab.evaluate(f"() => {{ ({SEND})(); }}")
    until(page, IS_EMPTY)

    ids = [one["id"] for text in sent for one in json.loads(text).get("events", [])]
    assert len(ids) == 3
    assert len(set(ids)) == 3
    assert len(recorded(house)) == 3


def test_without_a_signal_the_page_says_what_it_knew_and_since_when(
    house, signal, phone
):
    (code,) = house.prep("stew")
    page = phone.open()
    ready(page)
    signal.cut()
    page.goto(f"/C/{code}")
    page.wait_for_selector("#lines li")

    says = page.inner_text("#answer")
    assert "stew: Fri 6 Nov, use by, Fridge" in says
    assert "as known since Tue, 3 Nov 2026, 07:30" in says

    choose(page, "Freeze")
    scan(page, code)
    until(page, f"async () => (await ({KEPT})()).length === 1")
    choose(page, "Look")
    scan(page, code)
    until(page, "() => /not sent yet/.test(document.body.innerText)")

    assert f"{code[:3]} {code[3:]} Freeze" in page.inner_text("#answer")


def test_what_the_kitchen_refuses_is_shown_until_somebody_saw_to_it(
    house, signal, phone
):
    house.prep("stew")
    stranger = new_code(lambda _: 5)
    page = phone.open()
    ready(page)
    signal.cut()
    choose(page, "Use")
    scan(page, stranger)
    until(page, f"async () => (await ({KEPT})()).length === 1")
    page.locator("#answer", has_text="not among the lids").wait_for()
    signal.restore()
    open_scan(page)
    until(page, HAS_PROBLEMS)

    says = page.inner_text("#problems")
    assert "is not in this kitchen" in says
    assert "Look at the lid, and record it anew" in says
    open_scan(page)
    until(page, HAS_PROBLEMS)
    page.get_by_role("button", name="I have seen to it").click()
    # Who goes by keyboard is not thrown back to the beginning of everything.
    assert page.evaluate("() => document.activeElement.id") == "main"
    until(page, IS_EMPTY)
    until(page, "() => !document.querySelector('#problems li')")


def used_without_signal(house, signal, phone):
    """A lid whose use a phone keeps, nine minutes later than the kitchen's time."""
    (code,) = house.prep("stew")
    page = phone.open(9)
    ready(page)
    signal.cut()
    choose(page, "Use")
    scan(page, code)
    until(page, f"async () => (await ({KEPT})()).length === 1")
    return code, page


def test_a_contradiction_is_kept_and_shown(house, signal, phone):
    code, page = used_without_signal(house, signal, phone)
    house.now += timedelta(minutes=5)
    with house.session().write() as unit:
        moves.discard(unit, code, "spilt")
    house.now += timedelta(minutes=10)
    signal.restore()
    open_scan(page)
    until(page, HAS_PROBLEMS)

    assert "Both cannot be" in page.inner_text("#problems")
    assert "contradiction" in page.inner_text("#problems")
    assert [event.kind for event in recorded(house)] == ["used"]


def test_a_contradiction_is_shown_though_its_answer_was_lost(house, signal, phone):
    """The page is closed, or gone on from, between the sending and the answer."""
    code, page = used_without_signal(house, signal, phone)
    with house.session(house.now + timedelta(minutes=5)).write() as unit:
        moves.discard(unit, code, "spilt")
    house.now += timedelta(minutes=15)
    signal.restore()
    signal.is_deaf = True
    page.evaluate(SEND)
    assert [event.kind for event in recorded(house)] == ["used"]
    assert len(page.evaluate(KEPT)) == 1

    signal.is_deaf = False
    open_scan(page)
    until(page, HAS_PROBLEMS)

    assert "Both cannot be" in page.inner_text("#problems")
    assert [event.kind for event in recorded(house)] == ["used"]


@pytest.mark.parametrize(
    ("minutes", "says"), [(7, "7 minutes ahead"), (-30, "30 minutes behind"), (1, "")]
)
def test_a_clock_that_is_off_is_told(house, phone, minutes, says):
    (code,) = house.prep("stew")
    page = phone.open(minutes)
    open_scan(page)
    scan(page, code)
    until(page, HAS_LINES, 1)

    assert page.locator("#clock").is_visible() is bool(says)
    assert says in page.inner_text("#clock")


def test_what_could_not_be_kept_is_not_called_recorded(house, phone):
    (code,) = house.prep("stew")
    page = phone.open()
    page.add_init_script(
        """IDBObjectStore.prototype.add = () => {
            throw new DOMException("full", "QuotaExceededError"); };"""
    )
    open_scan(page)
    choose(page, "Use")
    scan(page, code)
    until(page, "() => /could not keep/.test(document.body.innerText)")

    assert recorded(house) == []
    assert "used" not in page.inner_text("#lines")


STATE = "document.querySelector('#lines .state').textContent"


def test_what_another_tab_sent_is_called_recorded(house, phone):
    (code,) = house.prep("stew")
    page = phone.open()
    ready(page)
    other = phone.context.new_page()
    open_scan(other)
    choose(page, "Freeze")
    # The other tab is quicker: it sends while this one waits for its turn.
    page.evaluate(
        f"""() => {{ const request = navigator.locks.request.bind(navigator.locks);
            navigator.locks.request = async (...given) => {{
                globalThis.waits = true;
                while (!(await ({IS_EMPTY})())) {{
                    await new Promise(done => setTimeout(done, 50)); }}
                return request(...given); }}; }}"""
    )
    scan(page, code)
    until(page, "() => globalThis.waits")
    other.evaluate(SEND)
    until(page, f"() => !/kept on this device$/.test({STATE})")

    assert page.inner_text("#lines .state").strip() == "· recorded"


def test_a_database_that_could_not_be_opened_is_tried_again(house, phone):
    (code,) = house.prep("stew")
    page = phone.open()
    page.add_init_script(
        """const open = IDBFactory.prototype.open;
        globalThis.isFull = true;
        IDBFactory.prototype.open = function (...given) {
            if (!isFull) return open.apply(this, given);
            const request = {};
            setTimeout(() => { request.error = new Error("full"); request.onerror(); });
            return request; };"""
    )
    open_scan(page)
    choose(page, "Freeze")
    scan(page, code)
    until(page, "() => /could not keep/.test(document.body.innerText)")
    page.evaluate("() => { globalThis.isFull = false; }")
    scan(page, code)
    until(page, "() => /· recorded/.test(document.getElementById('lines').innerText)")

    assert [event.kind for event in recorded(house)] == ["placed"]


MAKE_IDS = """async (times) => {
    const { uuid7 } = await import("/static/uuid.js");
    return times.map((at) => uuid7(at)); }"""


def test_ids_are_uuid7_in_the_order_in_which_they_were_made(phone):
    page = phone.open()
    open_scan(page)
    # Ten thousand within a millisecond are more than its counter holds; then the clock
    # is set back by a minute.
    at = 1_793_700_000_000
    ids = page.evaluate(MAKE_IDS, [*[at] * 10_000, at - 60_000, at + 5_000])

    assert all(re.fullmatch(UUID7, one) for one in ids)
    assert ids == sorted(set(ids))
    assert int(ids[0].replace("-", "")[:12], 16) == at
    assert int(ids[-1].replace("-", "")[:12], 16) == at + 5_000


def test_the_worker_answers_for_the_whole_page_and_bears_a_version(client):
    answer = client.get("/worker.js")

    assert answer.headers["content-type"].startswith("text/javascript")
    assert answer.headers["cache-control"] == "no-cache"
    assert answer.headers["service-worker-allowed"] == "/"
    assert re.search(r'^const VERSION = "[0-9a-f]{16}";', answer.text)
    assert "export " not in answer.text
    assert client.head("/worker.js").status_code == 200


def test_the_worker_keeps_every_file_that_the_page_runs(client):
    kept = json.loads(re.search("const FILES = (.*);", worker_text())[1])

    assert "/scan" in kept
    run = [
        one
        for one in STATIC.rglob("*")
        if one.is_file() and not one.name.startswith(("README", "LICENSE", "NOTICE"))
    ]
    paths = {f"{address()}/{one.relative_to(STATIC).as_posix()}" for one in run}
    assert paths - set(kept) == {f"{address()}/worker.js"}
    assert any(path.endswith(".wasm") for path in kept)
    assert all(client.get(path).status_code == 200 for path in kept)


def test_the_version_changes_with_a_file(tmp_path):
    file = tmp_path / "page.js"
    file.write_text("1")
    before = version_of([file])
    file.write_text("2")
    after = version_of([file])
    renamed = file.rename(tmp_path / "other.js")

    assert len({before, after, version_of([renamed]), version_of([])}) == 4


def test_a_file_may_be_kept_for_good_under_its_version_only(client):
    """RFC 8246: what is immutable is not asked for again."""
    kept, asked, older = (
        client.get(f"{folder}/page.js").headers["cache-control"]
        for folder in (address(), "/static", f"/static/{'0' * 16}")
    )

    assert kept == "public, max-age=31536000, immutable"
    assert (asked, older) == ("no-cache", "no-cache")
    assert f'src="{address()}/page.js"' in client.get("/").text
    assert client.get(f"/static/{'0' * 16}/nothing.js").status_code == 404


def test_the_page_can_be_installed(client):
    manifest = client.get("/manifest.webmanifest").json()

    assert manifest["start_url"] == "/scan"
    assert manifest["display"] == "standalone"
    assert all(client.get(one["src"]).status_code == 200 for one in manifest["icons"])
    assert 'rel="manifest"' in client.get("/").text


def test_the_scripts_are_small():
    """All that pages load, but for what reads pictures: that comes with the first one.

    The worker is no part of a page; the browser fetches it in its own time.
    """
    scripts = [one for one in STATIC.glob("*.js") if one.name not in NOT_COUNTED]
    size = sum(one.stat().st_size for one in scripts)

    assert 10_000 < size < MOST_SCRIPT_BYTES
