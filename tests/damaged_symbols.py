"""Symbols as they come off a tub: wet, torn, blurred, curved; and how many are read.

Shared by the test of damaged symbols and by the script that writes the page about them.
Each symbol is drawn from our own modules, damaged by chance (the same every time) and
read by zxing-cpp and by zbar. A reading is wrong if it leads to another container:
noise that is no code leads nowhere.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass
from math import asin, pi, sin

import zxingcpp
from PIL import Image, ImageChops, ImageDraw, ImageFilter

from lidclock.domain.codes import new_code
from lidclock.labels import codes
from lidclock.scan.payload import CodeRead, read_payload
from second_decoder import pyzbar, zbar_reads

TRIALS = 100
FORMATS = zxingcpp.BarcodeFormats(
    [
        zxingcpp.BarcodeFormat.Code128,
        zxingcpp.BarcodeFormat.QRCode,
        zxingcpp.BarcodeFormat.DataMatrix,
    ]
)


@dataclass(frozen=True, slots=True)
class Kind:
    """A symbol and how many dots wide each of its modules is."""

    title: str
    symbology: str
    module_px: int

    @property
    def is_for_zbar(self) -> bool:
        """Whether zbar knows it: it reads no Data Matrix."""
        return self.symbology != "data-matrix"


KINDS = {
    "code128-2": Kind("Code 128, 2 dots", "code128", 2),
    "code128-3": Kind("Code 128, 3 dots", "code128", 3),
    "qr-3": Kind("QR 2-M, 3 dots", "qr", 3),
    "data-matrix-3": Kind("Data Matrix, 3 dots", "data-matrix", 3),
}
Dice = random.Random
Damage = Callable[[Image.Image, Dice], Image.Image]


def bitmap(kind: Kind, text: str) -> Image.Image:
    """The symbol as a grey image with its quiet zone."""
    px = kind.module_px
    if kind.symbology == "code128":
        rows, quiet, tall = [codes.runs(codes.code128(text))], codes.CODE128_QUIET, 60
        across = len(codes.code128(text))
    else:
        make = codes.qr if kind.symbology == "qr" else codes.data_matrix
        rows, quiet, tall = [codes.runs(row) for row in make(text)], codes.QR_QUIET, px
        across = len(make(text))
    wide, high = (across + 2 * quiet) * px, len(rows) * tall + 2 * quiet * px
    image = Image.new("L", (wide, high), 255)
    draw = ImageDraw.Draw(image)
    for y, row in enumerate(rows):
        top = quiet * px + y * tall
        for start, length in row:
            left = (quiet + start) * px
            draw.rectangle((left, top, left + length * px - 1, top + tall - 1), fill=0)
    return image


def blurred(radius: float) -> Damage:
    """Out of focus."""
    return lambda image, _: image.filter(ImageFilter.GaussianBlur(radius))


def pale(image: Image.Image, dice: Dice) -> Image.Image:
    """Ink that differs from the paper by 35 %, and noise over both."""
    noise = Image.effect_noise(image.size, 18)
    washed = image.point(lambda grey: 166 + grey * 89 // 255)
    return Image.blend(washed, noise, 0.1 + dice.random() * 0.02)


def turned(degrees: float) -> Damage:
    """Held askew."""
    return lambda image, _: image.rotate(
        degrees, Image.Resampling.BICUBIC, expand=True, fillcolor=255
    )


def blotted(share: float) -> Damage:
    """A white square over that share of the area, as where the print came off."""

    def damage(image: Image.Image, dice: Dice) -> Image.Image:
        side = round((share * image.width * image.height) ** 0.5)
        x = dice.randrange(max(1, image.width - side))
        y = dice.randrange(max(1, image.height - side))
        ImageDraw.Draw(image).rectangle((x, y, x + side, y + side), fill=255)
        return image

    return damage


def dead_columns(count: int) -> Damage:
    """So many dots of the print head are burnt out: white lines along the feed."""

    def damage(image: Image.Image, dice: Dice) -> Image.Image:
        for x in dice.sample(range(image.width), count):
            ImageDraw.Draw(image).line((x, 0, x, image.height), fill=255)
        return image

    return damage


def drops(image: Image.Image, dice: Dice) -> Image.Image:
    """Twelve drops of condensation, 6 px in radius, that show paper and ink alike."""
    draw = ImageDraw.Draw(image)
    for _ in range(12):
        x, y = dice.randrange(image.width), dice.randrange(image.height)
        draw.ellipse((x - 6, y - 6, x + 6, y + 6), fill=dice.randrange(90, 200))
    return image


def curved(degrees: float) -> Damage:
    """Seen flat on, a label that goes so far round a tub is narrow at its ends."""
    half = degrees / 2 * pi / 180

    def damage(image: Image.Image, _: Dice) -> Image.Image:
        flat = image.width
        seen = round(flat * sin(half) / half)
        bent = Image.new("L", (seen, image.height), 255)
        for x in range(seen):
            u = 2 * (x + 0.5) / seen - 1
            source = min(flat - 1, int((asin(u * sin(half)) / half + 1) / 2 * flat))
            bent.paste(image.crop((source, 0, source + 1, image.height)), (x, 0))
        return bent

    return damage


DAMAGE: dict[str, Damage] = {
    "none": lambda image, _: image,
    "blur 1 px": blurred(1.0),
    "blur 1.5 px": blurred(1.5),
    "pale: 35 % contrast and noise": pale,
    "turned 7 degrees": turned(7),
    "turned 30 degrees": turned(30),
    "turned 45 degrees": turned(45),
    "white blot of 3 %": blotted(0.03),
    "white blot of 6 %": blotted(0.06),
    "2 dead dot columns": dead_columns(2),
    "4 dead dot columns": dead_columns(4),
    "12 drops": drops,
    "round a tub, 90 degrees": curved(90),
    "round a tub, 140 degrees": curved(140),
    "inverted": lambda image, _: ImageChops.invert(image),
}
BASELINE_TRIALS = 20
# How many of 20 were read when such damage was measured with zxing-cpp 3.1 before any
# of our drawing existed, on symbols of python-barcode, segno and zxing-cpp, in the
# order of KINDS. Where blots and drops fall decides much, and those fell elsewhere.
BASELINE = {
    "blur 1 px": (20, 20, 20, 20),
    "blur 1.5 px": (0, 13, 1, 0),
    "pale: 35 % contrast and noise": (19, 0, 20, 20),
    "turned 7 degrees": (20, 20, 20, 20),
    "turned 30 degrees": (0, 0, 20, 20),
    "turned 45 degrees": (0, 0, 20, 20),
    "white blot of 3 %": (20, 20, 20, 20),
    "white blot of 6 %": (20, 20, 0, 20),
    "2 dead dot columns": (11, 12, 12, 1),
    "4 dead dot columns": (4, 5, 7, 0),
    "12 drops": (19, 20, 0, 0),
    "round a tub, 90 degrees": (7, 20, 20, 20),
    "round a tub, 140 degrees": (12, 20, 20, 0),
    "inverted": (0, 0, 20, 20),
}


@dataclass(frozen=True, slots=True)
class Measured:
    """How many of `trials` each decoder read, and every reading of something else.

    `zbar` is None where libzbar is missing or the symbol is not one of its own.
    """

    trials: int
    zxing: int
    zbar: int | None
    wrong: tuple[str, ...]


def texts(kind: Kind, trials: int) -> list[str]:
    """Random codes; a QR symbol holds the address."""
    dice = random.Random(kind.symbology)
    found = [new_code(dice.randrange) for _ in range(trials)]
    if kind.symbology != "qr":
        return found
    return [f"HTTP://K.LAN/C/{code}" for code in found]


def code_in(text: str) -> str | None:
    """The container that a reading leads to; its check symbol has to be right."""
    read = read_payload(text)
    return read.code if isinstance(read, CodeRead) else None


def measure(kind_name: str, damage: str, trials: int = TRIALS) -> Measured:
    """Draw, damage and read so many symbols."""
    kind = KINDS[kind_name]
    dice = random.Random(f"{kind_name} {damage}")
    by_zbar = kind.is_for_zbar and pyzbar() is not None
    zxing, zbar, wrong = 0, 0, list[str]()
    for text in texts(kind, trials):
        image = DAMAGE[damage](bitmap(kind, text), dice)
        read = [one.text for one in zxingcpp.read_barcodes(image, formats=FORMATS)]
        zxing += read == [text]
        if by_zbar:
            also = [one for _, one in zbar_reads(image)]
            zbar += also == [text]
            read += also
        wrong += [one for one in read if code_in(one) not in (None, code_in(text))]
    return Measured(trials, zxing, zbar if by_zbar else None, tuple(wrong))
