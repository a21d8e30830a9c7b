"""Photos that would fill the memory, and those that only look odd."""

import subprocess
import sys
from io import BytesIO

import pytest
import zxingcpp
from PIL import Image

from lidclock.app import photos
from lidclock.app.photos import Upload, symbols_in
from lidclock.errors import InputError

# What a process may take that reads the largest picture there is; it is 64 million
# pixels of four bytes, its grey, its transparency and the paper of one byte each.
MOST_MB = 750
_READ_LARGEST = """
from io import BytesIO
from PIL import Image
from lidclock.app.photos import Upload, symbols_in
from lidclock.errors import InputError
made = BytesIO(open(0, "rb").read())
try:
    symbols_in(Upload(made.getvalue()))
except InputError as error:
    print(error)
# What `getrusage` tells begins with the most of whoever started the process.
(line,) = (x for x in open("/proc/self/status") if x.startswith("VmHWM:"))
print(int(line.split()[1]) // 1024)
"""


def as_file(picture: Image.Image, kind: str = "PNG", **more: object) -> Upload:
    file = BytesIO()
    picture.save(file, kind, **more)
    return Upload(file.getvalue())


@pytest.fixture(scope="module")
def symbol() -> Image.Image:
    """`4F7K2M0` as another library than ours draws it."""
    bars = zxingcpp.create_barcode("4F7K2M0", zxingcpp.BarcodeFormat.QRCode)
    return Image.fromarray(bars.to_image(scale=8))


@pytest.mark.parametrize("side", [8001, 20_000])
def test_a_small_file_of_too_many_pixels_is_refused(side):
    whole = as_file(Image.new("1", (side, side)))

    assert len(whole.content) < 500_000
    with pytest.raises(InputError, match="more pixels"):
        symbols_in(whole)


def test_the_largest_picture_takes_no_more_memory_than_there_is():
    """Measured by the system on a process of its own."""
    largest = as_file(Image.new("RGBA", (8000, 8000)), compress_level=1)
    found = subprocess.run(
        [sys.executable, "-c", _READ_LARGEST],
        input=largest.content,
        capture_output=True,
        check=True,
    )
    says, most_mb = found.stdout.decode().splitlines()

    assert "no symbol found" in says
    assert int(most_mb) < MOST_MB


def test_several_photos_at_once_are_not_all_read(symbol):
    for _ in range(photos.MOST_WAITING):
        photos._ROOM.acquire()
    try:
        with pytest.raises(InputError, match="in a moment"):
            symbols_in(as_file(symbol))
    finally:
        for _ in range(photos.MOST_WAITING):
            photos._ROOM.release()

    assert symbols_in(as_file(symbol)) == ["]Q14F7K2M0"]


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "TIFF"])
def test_a_photo_is_read_however_the_camera_was_held(symbol, kind, orientation):
    """Mirrored ones too (Exif 2.3, tag 0x0112, values 1 to 8)."""
    back = (None, *(Image.Transpose(x) for x in (0, 3, 1, 5, 4, 6, 2)))[orientation - 1]
    held = symbol if back is None else symbol.transpose(back)
    exif = Image.Exif()
    exif[0x0112] = orientation

    assert symbols_in(as_file(held, kind, exif=exif)) == ["]Q14F7K2M0"]


@pytest.mark.parametrize("mode", ["RGBA", "LA"])
def test_what_shows_through_is_paper(symbol, mode):
    """Black ink with nothing behind it; unseen parts are black too."""
    ink = Image.new("LA", symbol.size, (0, 0))
    ink.putalpha(symbol.point(lambda grey: 255 - grey))

    assert symbols_in(as_file(ink.convert(mode))) == ["]Q14F7K2M0"]


@pytest.mark.parametrize(
    "content",
    [
        *(b"", b"\x89PNG\r\n\x1a\n", b"%!PS-Adobe-3.0 EPSF-3.0\n(x) show\n"),
        *(b'<svg xmlns="http://www.w3.org/2000/svg"/>', b"P6 9 9 255\n", b"%PDF-1.4\n"),
    ],
)
def test_what_is_no_photo_is_not_opened(content):
    with pytest.raises(InputError, match="does not open as a picture"):
        symbols_in(Upload(content))
