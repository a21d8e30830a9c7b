"""Pictures of lids: labels as printed, held askew, as photos and as film."""

import io

import pypdfium2
from PIL import Image

from lidclock.app.lids import draw_labels, views_to_label
from lidclock.labels import codes

FRAME = (640, 480)
FRAMES = 30
TABLE = 150  # the grey around a lid
_MODULE = 8
_QUIET = 4


def label(house, code, stock=None):
    """The label of a container as the product itself prints it, as a picture."""
    with house.session().read() as unit:
        drawn = draw_labels(unit, views_to_label(unit, [code]), stock=stock)
    page = pypdfium2.PdfDocument(drawn.pdf)[0].render(scale=6).to_pil().convert("L")
    # The label without the empty rest of its sheet.
    left, top, right, bottom = page.point(lambda grey: 255 - grey).getbbox()
    return page.crop((max(0, left - 40), max(0, top - 40), right + 40, bottom + 40))


def symbol(kind, text):
    """One symbol alone, of the modules that the product prints."""
    if kind == "code128":
        rows = [codes.code128(text).encode().translate(bytes.maketrans(b"01", b"\0\1"))]
        rows *= 12
    else:
        rows = codes.qr(text) if kind == "qr" else codes.data_matrix(text)
    quiet = codes.CODE128_QUIET if kind == "code128" else _QUIET
    size = len(rows[0]), len(rows)
    dark = Image.frombytes("L", size, b"".join(bytes(row) for row in rows))
    made = Image.new("L", (size[0] + 2 * quiet, size[1] + 2 * quiet), 255)
    made.paste(dark.point(lambda one: 0 if one else 255), (quiet, quiet))
    wide, high = (side * (_MODULE // 2) for side in made.size)
    return made.resize((wide, high), Image.Resampling.NEAREST)


def filmed(picture):
    """A frame with the picture held a little askew on a grey table."""
    frame = Image.new("L", FRAME, TABLE)
    shown = picture.copy()
    shown.thumbnail((FRAME[0] - 40, FRAME[1] - 40))
    shown = shown.rotate(
        4, expand=True, fillcolor=TABLE, resample=Image.Resampling.BICUBIC
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


def png(picture):
    """The picture as a file."""
    file = io.BytesIO()
    picture.save(file, "PNG")
    return file.getvalue()


def stacked(pictures):
    """One above the other, with a gap."""
    wide = max(one.width for one in pictures)
    high = sum(one.height + 60 for one in pictures)
    made, top = Image.new("L", (wide, high), 255), 0
    for one in pictures:
        made.paste(one, (0, top))
        top += one.height + 60
    return made
