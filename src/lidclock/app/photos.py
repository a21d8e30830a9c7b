"""Lids in photos: every symbol decoded, exactly one container taken."""

from __future__ import annotations

import threading
from collections.abc import Iterable
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from lidclock.app.pack_words import pack_fact, pack_line
from lidclock.app.session import Session, Unit
from lidclock.app.turns import place_in
from lidclock.domain.codes import spaced
from lidclock.domain.moments import local_date
from lidclock.domain.phrases import with_commas
from lidclock.domain.sentences import figure, joined, sentence
from lidclock.errors import InputError, RefusedError
from lidclock.scan.gs1 import Pack
from lidclock.scan.payload import ActionRead, CodeRead
from lidclock.scan.reading import read_line

if TYPE_CHECKING:
    from PIL.Image import Image

_LONGEST_SHOWN = 40
# Phones' photos have 12 to 50 million (common practice, no source). A small file may
# unpack to any number, and each takes four bytes, several times.
MOST_PIXELS = 64_000_000
MOST_WAITING, _BLOCK_BYTES = 4, 64 * 2**20
_ROOM, _ONE_AT_A_TIME = threading.BoundedSemaphore(MOST_WAITING), threading.Lock()


@dataclass(frozen=True, slots=True)
class Upload:
    """A photo that came over the wire; `name` is what messages call it."""

    content: bytes
    name: str = "the photo"


Photo = Path | Upload
# What cameras and phones write. Others stay shut: a page of PostScript is a program.
_KINDS = frozenset({"JPEG", "MPO", "PNG", "WEBP", "AVIF", "TIFF", "GIF", "BMP"})


def lids_in(session: Session, photos: Iterable[Photo]) -> list[CodeRead]:
    """The lid of the one container in each photo, each container once.

    A photo without a symbol, with those of several containers or with somebody else's
    only is refused, and then none of the photos counts.
    """
    symbols = {photo: symbols_in(photo) for photo in photos}
    with session.read() as unit:
        found = [_one_lid(unit, photo, texts) for photo, texts in symbols.items()]
    return list({lid.code: lid for lid in found}.values())


def symbols_in(photo: Photo) -> list[str]:
    """The text of each symbol, its AIM identifier in front as a scanner sends it.

    One photo is read at a time; InputError where several wait for it already.
    """
    import zxingcpp

    names = "Code128 QRCode MicroQRCode DataMatrix EANUPC DataBar DataBarExp ITF14"
    kinds = [getattr(zxingcpp.BarcodeFormat, name) for name in names.split()]
    refusal = InputError("other photos are being read: send it again in a moment")
    with place_in(_ROOM, refusal), _ONE_AT_A_TIME:
        seen = zxingcpp.read_barcodes(
            _picture(photo),
            formats=zxingcpp.BarcodeFormats(kinds),
            # As sent, separators included, and not as printed for people.
            text_mode=zxingcpp.TextMode.Plain,
        )
    found = [f"{symbol.symbology_identifier}{symbol.text}" for symbol in seen]
    if not found:
        raise InputError(
            sentence(
                "no symbol found in {photo}; go nearer, hold still, and let the light "
                "fall from the side",
                photo=photo.name,
            )
        )
    return found


def _picture(photo: Photo) -> Image:
    """The picture in grey, upright as the camera noted, transparent parts white."""
    from PIL import Image, ImageOps

    Image.init()
    # Blocks of this size go back to the system when they are free; smaller ones stay
    # with the thread that had them (glibc, mallopt(3), M_MMAP_THRESHOLD: 32 MiB).
    Image.core.set_block_size(_BLOCK_BYTES)  # type: ignore[attr-defined]
    kinds = [kind for kind in Image.OPEN if kind in _KINDS]
    try:
        source = BytesIO(photo.content) if isinstance(photo, Upload) else photo
        with Image.open(source, formats=kinds) as opened:
            if opened.width * opened.height > MOST_PIXELS:
                raise Image.DecompressionBombError
            # A JPEG becomes grey while it is read: that takes a quarter of the memory.
            opened.draft("L", opened.size)
            ImageOps.exif_transpose(opened, in_place=True)
            if not opened.has_transparency_data:
                return opened.convert("L")
            colours = opened.convert("RGBA")
            paper = Image.new("L", colours.size, "white")
            paper.paste(colours.convert("L"), mask=colours.getchannel("A"))
            return paper
    except FileNotFoundError as error:
        raise InputError(f"there is no file {photo}; check its name") from error
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
        raise InputError(
            sentence(
                "{photo} has more pixels than any photo of a lid needs; make it "
                "smaller, or photograph the lid alone",
                photo=photo.name,
            )
        ) from error
    except Exception as error:  # a picture's parts fail in as many ways as it has
        raise InputError(
            sentence(
                "{photo} does not open as a picture; save it as JPEG or PNG",
                photo=photo.name,
            )
        ) from error


def _one_lid(unit: Unit, photo: Photo, texts: list[str]) -> CodeRead:
    """The one container's lid; a supplier's symbol beside it is no hindrance.

    Of two labels on it the older one counts as read: it is the one to take off.
    """
    session = unit.session
    year = local_date(session.now, session.kitchen.zone).year
    readings = [(text, _reading(text, year)) for text in texts]
    lids = [read for _, read in readings if isinstance(read, CodeRead)]
    codes = sorted({lid.code for lid in lids})
    if len(codes) == 1:
        numbers = [lid.number for lid in lids if lid.number]
        return CodeRead(codes[0], min(numbers, default=0))
    if codes:
        raise RefusedError(
            sentence(
                "{photo} shows {count} containers ({lids}): nothing was done; "
                "photograph them one at a time",
                photo=photo.name,
                count=figure(len(codes)),
                lids=with_commas(_named(unit, code) for code in codes),
            )
        )
    text, read = readings[0]
    raise RefusedError(*(_lidless(photo, what) for what in _what(text, read)))


def _lidless(photo: Photo, what: str) -> str:
    return sentence(
        "{photo} shows no lid of this kitchen: {what}", photo=photo.name, what=what
    )


def _reading(text: str, year: int) -> object:
    try:
        return read_line(text, year)
    except InputError as error:
        return error


def _named(unit: Unit, code: str) -> str:
    known = unit.snapshot(code)
    food = known.food if known else sentence("not of this kitchen")
    return joined("{code} {food}", code=spaced(code), food=food)


def _what(text: str, read: object) -> tuple[str, str]:
    """Whose symbol it is instead: for a command line, and for a page."""
    if isinstance(read, Pack):
        return pack_line(read), pack_fact(read)
    if isinstance(read, ActionRead):
        fact = sentence("the symbol is the action {action}", action=read.action)
        return f"{fact}; choose it as an option", fact
    if isinstance(read, InputError):
        return str(read), read.fact
    shown = "".join(x if x.isprintable() else " " for x in text[3:])
    cut = f"{shown[:_LONGEST_SHOWN]}..." if len(shown) > _LONGEST_SHOWN else shown
    says = sentence("the symbol says {text}", text=repr(cut))
    return says, says
