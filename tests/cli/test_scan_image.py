"""`scan --image`: one lid in a photo counts as scanned; anything else is refused."""

import io
import random
import struct
import zlib

import pypdfium2
import pytest
import segno
import zxingcpp
from PIL import Image, ImageDraw, ImageFilter

from lidclock.labels.codes import CODE128_QUIET, code128

BASE = "HTTP://LIDCLOCK.LOCAL"
FOREIGN = "4F7K2M0"


def qr(text, scale=6):
    """A QR symbol as a picture with its quiet zone."""
    file = io.BytesIO()
    segno.make(text, error="m", micro=False).save(file, kind="png", scale=scale)
    return Image.open(file).convert("L")


def bars(text, module=3, height=90):
    """A Code 128 symbol as a picture with its quiet zones."""
    modules = code128(text)
    image = Image.new("L", (len(modules) + 2 * CODE128_QUIET, 1), 255)
    for x, dark in enumerate(modules, start=CODE128_QUIET):
        image.putpixel((x, 0), 0 if dark == "1" else 255)
    size = (image.width * module, height)
    return image.resize(size, Image.Resampling.NEAREST)


def ean(number):
    """An EAN-13 symbol as a picture with its quiet zones."""
    symbol = zxingcpp.create_barcode(number, zxingcpp.BarcodeFormat.EAN13)
    pixels = memoryview(symbol.to_image(scale=3, add_quiet_zones=True))
    height, width = pixels.shape
    return Image.frombytes("L", (width, height), pixels.tobytes())


def photo(*symbols, turned=0.0):
    """Symbols side by side on a grey table, the camera held askew."""
    wide = sum(symbol.width + 80 for symbol in symbols) + 80
    tall = max(symbol.height for symbol in symbols) + 160
    table = Image.new("L", (wide, tall), 170)
    x = 80
    for symbol in symbols:
        table.paste(symbol, (x, 80))
        x += symbol.width + 80
    bicubic = Image.Resampling.BICUBIC
    return table.rotate(turned, resample=bicubic, expand=True, fillcolor=170)


def taken(cook, image, name="lid.jpg", **more):
    """The photo as a file in the cook's folder; the name to give the command."""
    image.save(cook.folder / name, **more)
    return name


def lid(code):
    return qr(f"{BASE}/C/{code}")


@pytest.mark.parametrize("turned", [0, 8, 30, 45, 90, 180])
def test_a_lid_held_askew_is_looked_at_as_if_scanned(stew, turned):
    code = stew.codes()[0]
    name = taken(stew, photo(lid(code), turned=turned))

    assert stew.see("scan", "--image", name) == stew.see("scan", code)


@pytest.mark.parametrize("orientation", range(1, 9))
def test_the_cameras_note_of_how_it_was_held_is_honoured(stew, orientation):
    code = stew.codes()[0]
    exif = Image.Exif()
    exif[0x0112] = orientation
    name = taken(stew, photo(bars(code)), exif=exif)

    assert stew.see("scan", "--image", name).startswith(code[:3])


@pytest.mark.parametrize("name", ["lid.png", "lid.webp", "lid.bmp", "lid.gif"])
def test_other_kinds_of_picture_are_read(stew, name):
    code = stew.codes()[0]
    taken(stew, photo(lid(code)), name)

    assert stew.see("scan", "--image", name).startswith(code[:3])


def test_a_transparent_picture_counts_as_printed_on_white(stew):
    code = stew.codes()[0]
    symbol = lid(code)
    clear = Image.new("RGBA", symbol.size, (0, 0, 0, 0))
    clear.paste((0, 0, 0, 255), mask=symbol.point(lambda grey: 255 - grey))
    name = taken(stew, clear, "lid.png")

    assert stew.see("scan", "--image", name).startswith(code[:3])


def test_a_blurred_and_noisy_photo_still_reads(stew):
    code, pick = stew.codes()[0], random.Random(5)
    image = photo(lid(code)).filter(ImageFilter.GaussianBlur(1.5))
    image = image.point(lambda grey: 60 + grey // 2)
    draw = ImageDraw.Draw(image)
    for _ in range(400):
        draw.point((pick.randrange(image.width), pick.randrange(image.height)), 90)
    name = taken(stew, image, quality=40)

    assert stew.see("scan", "--image", name).startswith(code[:3])


def test_a_printed_label_is_one_container_though_it_bears_two_symbols(stew):
    code = stew.codes()[0]
    stew.run("label", code, "--out", "lid.pdf")
    document = pypdfium2.PdfDocument(stew.folder / "lid.pdf")
    page = document[0]
    name = taken(stew, page.render(scale=300 / 72).to_pil(), "lid.png")
    page.close()
    document.close()

    assert stew.see("scan", "--image", name).startswith(code[:3])


def test_the_chosen_action_is_recorded(stew):
    code = stew.codes()[0]
    name = taken(stew, photo(lid(code)))

    seen = stew.see("scan", "--image", name, "--to", "Freezer", "--temp", "-18C")

    assert "stew, box 1 of 3: frozen" in seen
    assert stew.data("show", code)["place"] == "Freezer"


def test_several_photos_are_several_scans(stew):
    first, second, _ = stew.codes()
    names = [
        taken(stew, photo(lid(code)), f"{number}.jpg")
        for number, code in enumerate((first, second, first))
    ]
    images = [part for name in names for part in ("--image", name)]

    seen = stew.see("scan", *images, "--use", "--anyway")

    assert [line[:8].replace(" ", "") for line in seen.splitlines()] == [first, second]
    assert len(stew.codes()) == 1


def test_json_shows_the_one_container(stew):
    code = stew.codes()[0]
    name = taken(stew, photo(lid(code)))

    assert stew.data("scan", "--image", name)["code"] == code


def refused(cook, code, *names):
    """The refusal of photos that were to be thrown away; nothing may be recorded."""
    before = cook.event_count()
    images = [part for name in names for part in ("--image", name)]
    told = cook.fail(code, "scan", *images, "--discard", "mould")

    assert cook.event_count() == before
    return told


def test_a_photo_without_a_symbol_is_refused(stew):
    name = taken(stew, Image.effect_noise((400, 300), 60))

    assert f"no symbol found in {name}" in refused(stew, 2, name)


def test_a_photo_of_several_containers_names_them_and_does_nothing(stew):
    first, second, _ = sorted(stew.codes())
    name = taken(stew, photo(lid(second), bars(first)))

    told = refused(stew, 13, name)

    names = f"{first[:3]} {first[3:]} stew, {second[:3]} {second[3:]} stew"
    assert f"{name} shows 2 containers ({names}): nothing was done" in told


def test_one_bad_photo_spoils_the_others(stew):
    good = taken(stew, photo(lid(stew.codes()[0])), "good.jpg")
    bad = taken(stew, Image.new("L", (300, 200), 128), "bad.jpg")

    assert "no symbol found in bad.jpg" in refused(stew, 2, good, bad)


def test_somebody_elses_symbol_is_refused_with_what_it_says(stew):
    name = taken(stew, photo(qr("https://example.org/menu\x07")))

    told = refused(stew, 13, name)

    assert "shows no lid of this kitchen: the symbol says 'https://example.org/" in told
    assert "\x07" not in told


def test_a_suppliers_symbol_is_refused_as_one(stew):
    """4006381333931 is a common example of an EAN-13 with a right check digit."""
    name = taken(stew, photo(ean("4006381333931")))

    told = refused(stew, 13, name)

    assert "that is a supplier's pack (GTIN 04006381333931)" in told


def test_our_lid_on_a_bought_pack_is_the_one_meant(stew):
    code = stew.codes()[0]
    name = taken(stew, photo(lid(code), ean("4006381333931")))

    assert stew.see("scan", "--image", name).startswith(code[:3])


def test_an_action_in_a_photo_is_not_carried_out(stew):
    name = taken(stew, photo(qr(f"{BASE}/A/USE")))

    assert "the symbol is the action USE" in refused(stew, 13, name)


def test_the_lid_of_another_kitchen_is_not_known_here(stew):
    name = taken(stew, photo(lid(FOREIGN)))

    assert "is not in this kitchen" in refused(stew, 11, name)


def test_a_code_with_a_wrong_check_symbol_is_not_guessed(stew):
    name = taken(stew, photo(qr(f"{BASE}/C/4F7K2M1")))

    assert "shows no lid of this kitchen" in refused(stew, 13, name)


SVG = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'
HTML = b"<!doctype html><img src=x onerror=alert(1)>"
PDF = b"%PDF-1.7\n1 0 obj<</Type/Catalog>>endobj trailer<</Root 1 0 R>>\n%%EOF"


@pytest.mark.parametrize(
    "content",
    [b"", b"not a picture", b"\x89PNG\r\n\x1a\n", b"GIF89a\x01", SVG, HTML, PDF],
)
def test_a_file_that_is_no_picture_is_refused(stew, content):
    (stew.folder / "lid.jpg").write_bytes(content)

    assert "lid.jpg does not open as a picture" in refused(stew, 2, "lid.jpg")


@pytest.mark.parametrize("name", ["lid.jpg", "lid.png", "lid.webp", "lid.gif"])
@pytest.mark.parametrize("kept", [0.02, 0.5, 0.9])
def test_a_torn_picture_is_refused(stew, name, kept):
    whole = stew.folder / taken(stew, photo(lid(stew.codes()[0])), name)
    content = whole.read_bytes()
    whole.write_bytes(content[: round(kept * len(content))])

    assert f"{name} does not open as a picture" in refused(stew, 2, name)


def test_a_page_of_postscript_is_not_run(stew):
    """A program with a picture's name could write files through Ghostscript."""
    trace = stew.folder / "trace"
    (stew.folder / "lid.jpg").write_text(
        "%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 100 100\n%%EndComments\n"
        f"({trace}) (w) file closefile\nshowpage\n%%EOF\n"
    )

    assert "lid.jpg does not open as a picture" in refused(stew, 2, "lid.jpg")
    assert not trace.exists()


def png_of(side):
    """A file of some hundred bytes that says it is a picture so many dots wide."""

    def chunk(kind, content):
        check = zlib.crc32(kind + content)
        return (
            struct.pack(">I", len(content)) + kind + content + struct.pack(">I", check)
        )

    size = struct.pack(">IIBBBBB", side, side, 1, 0, 0, 0, 0)
    return b"".join(
        (
            b"\x89PNG\r\n\x1a\n",
            chunk(b"IHDR", size),
            chunk(b"IDAT", zlib.compress(bytes(1000))),
            chunk(b"IEND", b""),
        )
    )


@pytest.mark.parametrize("side", [12_000, 60_000])
def test_a_picture_that_would_fill_the_memory_is_refused(stew, side):
    (stew.folder / "lid.png").write_bytes(png_of(side))

    told = refused(stew, 2, "lid.png")

    assert "lid.png has more pixels than any photo of a lid needs; make it" in told


def test_a_photo_of_a_good_camera_is_not_too_large(stew):
    """Fifty million dots, the symbol a small part of it."""
    table = Image.new("L", (8000, 6200), 170)
    symbol = lid(stew.codes()[0])
    table.paste(symbol, (3000, 2500))
    name = taken(stew, table)

    assert stew.see("scan", "--image", name).startswith(stew.codes()[0][:3])


def test_a_missing_file_is_named(stew):
    assert "there is no file gone.jpg" in refused(stew, 2, "gone.jpg")


def test_a_code_and_a_photo_do_not_go_together(stew):
    name = taken(stew, photo(lid(FOREIGN)))

    assert "not both" in stew.fail(2, "scan", FOREIGN, "--image", name)


def test_json_goes_with_one_photo_only(stew):
    told = stew.fail(2, "scan", "--json", "--image", "a.jpg", "--image", "b.jpg")

    assert "--json goes with looking only" in told
