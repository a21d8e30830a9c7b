"""The main walk with a thumb: prep, label, scan, freeze, thaw, use."""

from urllib.parse import urlsplit

import pypdfium2
import zxingcpp


def symbols_in(pdf):
    """What an independent reader finds on the first page of a sheet of labels."""
    page = pypdfium2.PdfDocument(pdf)[0]
    image = page.render(scale=4).to_pil()
    return [
        found.text
        for found in zxingcpp.read_barcodes(image)
        if found.format == zxingcpp.BarcodeFormat.QRCode
    ]


def state_of(house, code):
    session = house.session()
    with session.read() as unit:
        return unit.find(code)


def test_prep_label_scan_freeze_thaw_use(house, phone):
    house.prep("bean stew", count=2, days_ago=3)
    phone.goto("/")
    phone.get_by_role("link", name="Prep", exact=True).click()
    phone.get_by_role("link", name="bean stew").click()
    phone.get_by_role("button", name="Containers +1").click()
    assert phone.get_by_label("Containers", exact=True).input_value() == "3"
    phone.get_by_role("button", name="Fill").click()
    phone.get_by_role("heading", name="3 containers filled").wait_for()

    sheet = phone.get_by_role("link", name="Open the labels").get_attribute("href")
    pdf = phone.request.get(sheet).body()
    addresses = symbols_in(pdf)
    assert len(addresses) == 3
    phone.get_by_role("button", name="They are on the lids").click()
    phone.get_by_text("Noted: the labels are on the lids.").wait_for()

    # A phone's own camera opens what the symbol says, in capitals as it is printed.
    path = urlsplit(addresses[0]).path
    code = path.split("/")[2]
    assert path == f"/C/{code}"
    phone.goto(path)
    assert "use by Fri 6 Nov 2026" in phone.inner_text("main")
    phone.get_by_role("button", name="Frozen").click()
    phone.get_by_text("Recorded: placed in Freezer").wait_for()
    phone.wait_for_load_state()
    assert "3 days left after thawing" in phone.inner_text("main")
    phone.get_by_role("button", name="Taken out to thaw").click()
    phone.get_by_text("Recorded: placed in Fridge").wait_for()
    phone.get_by_role("button", name="Used").click()
    # An older one of the same food is there, so it is asked once more.
    anyway = phone.get_by_role("button", name="Record it anyway")
    anyway.wait_for()
    assert "first" in phone.inner_text("main")
    anyway.click()
    phone.get_by_text("Recorded: used").wait_for()
    assert state_of(house, code).end_kind == "used"


def test_no_page_is_wider_than_the_smallest_phone(house, phone):
    (code,) = house.prep("a soup with a name of many long words and Bindfadenwort")
    phone.set_viewport_size({"width": 320, "height": 640})
    paths = ["/", "/shelf", "/prep", "/prep?food=dal&q=soup", "/plan", "/guidance"]
    paths += ["/guidance/soup-stew", "/kitchen", "/more", "/alerts", f"/c/{code}"]
    wide = "document.documentElement.scrollWidth"
    for path in paths:
        phone.goto(path)
        assert phone.evaluate(wide) <= 320, path


def test_targets_are_large_enough_for_a_wet_thumb(house, phone):
    (code,) = house.prep("bean stew")
    # 12 mm at 96 pixels to the inch are 45.4 pixels.
    small = """() => [...document.querySelectorAll("button, a.button, nav a, summary")]
      .filter((one) => one.getBoundingClientRect().height > 0)
      .filter((one) => one.getBoundingClientRect().height < 45)
      .map((one) => one.textContent.trim())"""
    for path in (
        "/",
        "/prep",
        "/prep?food=bean stew",
        "/plan",
        "/kitchen",
        f"/c/{code}",
    ):
        phone.goto(path)
        assert phone.evaluate(small) == [], path
