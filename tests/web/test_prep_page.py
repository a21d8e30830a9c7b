"""Filling containers without scripts: known and new foods, packs, what was there."""

from datetime import timedelta

from tests.web.pages import hidden_fields
from tests.web.scanning import scan, until

from lidclock.app import moves
from lidclock.domain.codes import new_code


def form_of(client, path):
    return hidden_fields(client.get(path).text, "/prep", 'name="once"')


def live(house):
    session = house.session()
    with session.read() as unit:
        return unit.snapshots.find()


def test_a_known_food_takes_two_taps_and_a_second_tap_fills_nothing(house, client):
    house.prep("bean stew", count=2, days_ago=3)
    assert 'href="/prep?food=bean%20stew"' in client.get("/prep").text
    page = client.get("/prep?food=bean stew").text
    # As many and as heavy as the last time.
    assert 'value="2"' in page
    assert 'value="300"' in page

    form = hidden_fields(page, "/prep", 'name="once"')
    sent = {**form, "count": "3", "mass": "250", "of": "each", "place": "Fridge"}
    first, second = (client.post("/prep", data=sent) for _ in range(2))
    assert first.url == second.url
    new = [one for one in live(house) if one.batch_number == 2]
    assert [one.mass_g for one in new] == [250, 250, 250]
    assert len(live(house)) == 2 + 3
    assert "3 containers filled" in first.text
    assert "use by Fri 6 Nov 2026" in first.text


def test_a_new_food_is_found_by_everyday_words(house, client):
    page = client.get("/prep?food=lentil soup").text
    assert 'value="soup-stew"' in page
    form = form_of(client, "/prep?food=lentil soup")
    sent = {**form, "count": "2", "mass": "900", "of": "total", "place": "Fridge"}

    assert "say what kind of food" in client.post("/prep", data=sent).text
    assert live(house) == []
    sent |= {"category": "soup-stew", "allergens": "Celery, milk"}
    assert client.post("/prep", data=sent).status_code == 200
    assert [one.mass_g for one in live(house)] == [450, 450]
    assert "celery, milk" in client.get("/prep?food=lentil soup").text


def test_labels_are_looked_at_opened_and_noted(house, client):
    house.prep("bean stew", count=2)
    codes = sorted(one.code for one in live(house))
    page = client.get("/labels", params={"code": codes}).text
    picture = client.get(f"/labels/{codes[0]}.png")
    sheet = client.get("/labels/sheet.pdf", params={"code": codes})

    assert picture.content.startswith(b"\x89PNG")
    assert sheet.content.startswith(b"%PDF-")
    assert not any(one.is_labelled for one in live(house))
    form = hidden_fields(page, "/labels/done")
    client.post("/labels/done", data={**form, "code": codes})
    assert all(one.is_labelled for one in live(house))


def test_a_printer_that_is_not_there_is_told_and_nothing_counts_as_labelled(
    house, client
):
    from lidclock.app.printing import add_printer

    (code,) = house.prep("bean stew")
    add_printer(house.session(), "Bench", "ipp://127.0.0.1:1/nowhere", is_default=True)
    page = client.get("/labels", params={"code": code}).text
    form = hidden_fields(page, "/labels/print")
    here = {"Referer": f"{house.address}/labels?code={code}"}
    answer = client.post(
        "/labels/print", data={**form, "printer": "Bench"}, headers=here
    )

    assert answer.status_code == 422
    assert "Bench is not reachable" in answer.text
    assert f'href="/labels?code={code}"' in answer.text
    assert not live(house)[0].is_labelled


def test_an_opened_pack_keeps_its_makers_date(house, client):
    form = form_of(client, "/prep/pack?food=pesto jar")
    sent = {
        **form,
        "category": "canned-low-acid-opened",
        "place": "Fridge",
        "use_by": "2026-11-04",
    }
    page = client.post("/prep", data=sent).text

    assert "use by Wed 4 Nov 2026" in page
    (one,) = live(house)
    assert one.opened_at is not None


def test_what_was_there_already_stays_unknown_until_somebody_says(house, client):
    form = form_of(client, "/prep/adopt?food=mystery stew")
    sent = {**form, "category": "soup-stew", "place": "Freezer", "at": ""}
    page = client.post("/prep", data=sent).text

    assert "unknown:" in page
    (one,) = live(house)
    assert one.standing == "unknown"


def test_what_cannot_be_is_refused_in_words(house, client):
    house.prep("bean stew")
    form = form_of(client, "/prep?food=bean stew")
    for wrong, says in [
        ({"count": "0"}, "1 to 1000 containers"),
        ({"count": "many"}, "not a whole number"),
        ({"mass": "heavy"}, "not a mass"),
        ({"at": "2027-01-01T10:00"}, "in the future"),
        ({"once": "x"}, "open the page again"),
        ({"place": "Nowhere"}, "no place"),
    ]:
        answer = client.post("/prep", data={"count": "1", **form, **wrong})
        assert answer.status_code in (404, 422), wrong
        assert says in answer.text, wrong
    assert len(live(house)) == 1


def test_the_label_is_that_of_a_box_that_is_there(house, client):
    codes = house.prep("stew", count=2)
    session = house.session()
    with session.write() as unit:
        moves.use(unit, codes[0])
        act = next(x.act for x in unit.ledger.all() if x.kind == "filled")
    one_left = client.get("/prep/filled", params={"act": act}).text
    with session.write() as unit:
        moves.use(unit, codes[1])
    none_left = client.get("/prep/filled", params={"act": act}).text

    assert f'src="/labels/{codes[1]}.png"' in one_left
    assert f"code={codes[0]}" not in one_left
    assert "keep: use by" in one_left
    assert "<span>used</span>" in one_left
    assert ".png" not in none_left
    assert ".png" not in client.get("/labels", params={"code": codes[0]}).text


FIELDS = "() => [...document.getElementsByName('input')].map(one => one.value)"


def test_a_scanner_in_a_field_fills_it_and_not_the_containers(house, phone):
    """It ends with Enter, which would send the form before its masses are typed."""
    sauce, soup = house.prep("sauce", count=2)
    phone.goto("/prep?food=sauce")
    phone.wait_for_selector("html[data-ready]")
    phone.get_by_text("Made out of containers that are here").click()
    phone.locator("[name=input]").first.focus()
    phone.keyboard.type(f"{sauce}\n")

    assert phone.url.endswith("/prep?food=sauce")
    assert len(live(house)) == 2
    assert phone.evaluate("() => document.activeElement.name") == "input_mass"
    phone.evaluate("() => document.activeElement.blur()")
    scan(phone, soup)
    until(phone, f"() => ({FIELDS})().filter(Boolean).length === 2")
    assert phone.evaluate(FIELDS)[:2] == [sauce, soup]


def test_a_lid_that_is_scanned_while_it_is_taken_in_goes_into_its_field(phone):
    phone.goto("/prep/adopt?food=lentil soup")
    phone.wait_for_selector("html[data-ready]")
    phone.locator("[name=at]").fill("2026-11-02T18:00")
    phone.evaluate("() => document.activeElement.blur()")
    code = new_code(lambda _: 5)
    scan(phone, code)
    until(phone, "() => document.getElementsByName('code')[0].value !== ''")

    assert phone.locator("[name=code]").input_value() == code
    assert phone.locator("[name=at]").input_value() == "2026-11-02T18:00"


# The clock of the tests says Tue 3 Nov 2026, 07:30.
YESTERDAY, PUT_AWAY = "2026-11-02T19:00", "2026-11-02T19:30"


def fill_soup(client, kind="", **said):
    form = form_of(client, f"/prep{kind}?food=bean stew")
    return client.post("/prep", data={"count": "1", **form, "place": "Fridge", **said})


def test_what_was_put_away_yesterday_is_recorded_with_that_time(house, client):
    house.prep("bean stew", days_ago=3)
    for kind in ("", "/adopt"):
        page = fill_soup(client, kind, at=YESTERDAY, placed=PUT_AWAY).text
        assert "keep: use by Thu 5 Nov 2026" in page, kind
        assert "time before the first place: 30 min not recorded" in page, kind
        assert 'class="notice"' not in page.split("<h2>")[0], kind


def test_the_form_says_what_a_time_left_empty_counts_as_before_the_tap(house, client):
    house.prep("bean stew", days_ago=3)
    for kind in ("", "/adopt"):
        page = client.get(f"/prep{kind}?food=bean stew").text
        label = page.split("When did it go in there?")[1].split("</label>")[0]
        assert 'name="placed"' in label, kind
        assert "counts as time at room temperature" in page, kind
    assert 'name="placed"' not in client.get("/prep/pack?food=pesto").text


def test_over_for_time_that_nobody_recorded_is_said_first(house, client):
    house.prep("bean stew", days_ago=3)
    page = fill_soup(client, at=YESTERDAY).text
    said = "12 h 30 min before it was first put away were not recorded"
    assert said in page
    assert page.index(said) < page.index("over: use by was")
    (code,) = [one.code for one in live(house) if one.batch_number == 2]
    assert f'href="/c/{code}#correct"' in page
    lid = client.get(f"/c/{code}").text
    assert lid.index(said) < lid.index("over: use by was")

    # What is over for its days is not over for that.
    long_ago = {"at": "2026-10-20T19:00", "placed": "2026-10-20T19:30"}
    old = fill_soup(client, count="2", **long_ago).text
    assert "over: use by was" in old
    assert "before it was first put away" not in old


def test_a_time_of_putting_away_that_cannot_be_is_refused_in_words(house, client):
    house.prep("bean stew", days_ago=3)
    for kind in ("", "/adopt"):
        for wrong, says in [
            ({"at": PUT_AWAY, "placed": YESTERDAY}, "placed before it was made"),
            ({"at": YESTERDAY, "placed": "2026-11-04T10:00"}, "in the future"),
            ({"at": YESTERDAY, "placed": PUT_AWAY, "place": ""}, "say where it is"),
        ]:
            answer = fill_soup(client, kind, **wrong)
            assert answer.status_code == 422, (kind, wrong)
            assert says in answer.text, (kind, wrong)
    assert len(live(house)) == 1


def test_the_same_batch_a_moment_later_is_asked_for_once_more(house, client):
    house.prep("bean stew", days_ago=3)
    said = {"count": "3", "mass": "250", "of": "each"}
    first = fill_soup(client, **said)
    house.now += timedelta(minutes=9)
    # Back in the browser, and Fill: the form has a new name.
    asked = fill_soup(client, **said)
    assert asked.status_code == 200
    assert "Is that so?" in asked.text
    assert "bean stew: 3 containers with the same in them were filled" in asked.text
    assert f'href="{first.url.raw_path.decode()}"' in asked.text
    assert len(live(house)) == 1 + 3
    # No other time would change it.
    assert "Check that time" not in asked.text
    assert 'type="datetime-local"' not in asked.text

    form = hidden_fields(asked.text, "/prep")
    done = client.post("/prep", data={**form, "anyway": "yes"})
    assert "3 containers filled" in done.text
    assert len(live(house)) == 1 + 3 + 3


def test_what_is_not_the_same_or_not_just_now_is_filled_without_a_question(
    house, client
):
    house.prep("bean stew", days_ago=3)
    said = {"count": "2", "mass": "250", "of": "each"}
    fill_soup(client, **said)
    for other in ({"count": "3"}, {"mass": "251"}):
        assert "filled</h1>" in fill_soup(client, **said | other).text, other
    house.prep("chowder", days_ago=3)
    form = form_of(client, "/prep?food=chowder")
    chowder = client.post("/prep", data={**form, **said, "place": "Fridge"})
    assert "2 containers filled" in chowder.text
    house.now += timedelta(minutes=11)
    again = fill_soup(client, **said).text
    assert "2 containers filled" in again
    # What was taken back is not there a second time.
    client.post("/undo", data=hidden_fields(again, "/undo"))
    assert "2 containers filled" in fill_soup(client, **said).text
    # Boxes alike that were there before are taken in one after another.
    for _ in range(2):
        assert "1 container filled" in fill_soup(client, "/adopt").text


def test_the_times_of_a_second_batch_go_along_with_the_answer(house, client):
    house.prep("bean stew", days_ago=3)
    said = {"count": "2", "mass": "250", "of": "each", "at": YESTERDAY}
    for _ in range(2):
        asked = fill_soup(client, **said, placed=PUT_AWAY)
    form = hidden_fields(asked.text, "/prep")
    client.post("/prep", data={**form, "anyway": "yes"})

    made = [one.made_at for one in live(house) if one.batch_number in (2, 3)]
    assert len(made) == 4
    assert len(set(made)) == 1


def test_saying_so_of_a_second_batch_is_no_word_about_what_went_in(house, client):
    (old,) = house.prep("bean stew", days_ago=9)
    house.prep("chowder", days_ago=3)
    sent = {"count": "2", "mass": "250", "of": "each", "place": "Fridge"}
    for ask in ("", old):
        form = form_of(client, "/prep?food=chowder")
        went_in = {"input": ask, "input_mass": ""}
        answer = client.post("/prep", data={**form, **sent, **went_in})
    assert "with the same in them" in answer.text
    form = hidden_fields(answer.text, "/prep")
    answer = client.post("/prep", data={**form, "anyway": "yes"})
    assert "does not bring it back" in answer.text
    assert len(live(house)) == 2 + 2
    form = hidden_fields(answer.text, "/prep")
    client.post("/prep", data={**form, "anyway": "yes"})
    assert len(live(house)) == 2 + 2 + 2


def test_a_pack_says_from_when_its_lid_will_count(client):
    form = form_of(client, "/prep/pack?food=milk")
    sent = {**form, "category": "milk", "none": "yes", "place": "Fridge"}
    page = client.post("/prep", data=sent).text
    # Opened Tue 3 Nov, day 1 of 7.
    assert "use by Mon 9 Nov 2026" in page
    assert "7 days from opening" in client.get("/prep/pack?food=milk").text
    german = {"Accept-Language": "de"}
    page = client.get("/prep/pack?food=milk", headers=german).text
    assert "7 Tage ab dem Öffnen" in page
    # What was there before counts from the making that may be typed there.
    assert "7 days from making" in client.get("/prep/adopt?food=milk").text
