"""How quickly labels are drawn, and how large they are, against two ways to draw them.

The naive way calls the libraries for every rectangle of every symbol; the floor is text
alone. All three draw the same labels in the same minute, in turn.
"""

from __future__ import annotations

import io
import random
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from datetime import date, timedelta
from functools import partial
from pathlib import Path

from lidclock.labels import Label, Ruler, draw_sheet, load_stock

COUNT, NAIVE_COUNT, ROUNDS, STARTS = 3000, 60, 7, 15
BATCH = 30
ALPHABET = "0123456789BCDEFGHJKMNPRSTVWX"
NAMES = (
    *("Lentil soup", "Beef stew with barley", "Chicken stock", "Tomato sauce"),
    *("Braised shiitake and black-bean filling", "Rice, cooked", "Vegetable curry"),
    *("Pulled pork", "Hummus", "Roast pumpkin", "Potato and leek soup", "Congee"),
    *("Chickpea tagine", "Bolognese sauce", "Mushroom risotto", "Fish pie"),
    *("Red cabbage", "Egg custard", "Poached pears", "Black-bean chili"),
)
ALLERGENS = ((), ("milk",), ("soybeans", "wheat"), ("eggs", "milk", "wheat"), None)
HANDLING = ("", " Heat through to 74 °C before serving.", " Stir well.")
LIBRARIES = "from reportlab.pdfgen import canvas; import barcode, segno, zxingcpp"
FIRST = """
import sys
from datetime import date
from lidclock.labels import Label, Ruler, draw_sheet, load_stock
label = Label(
    name="Lentil soup", code="4F7K2M0", uri="HTTP://LIDCLOCK.LOCAL/C/4F7K2M0",
    headline_word="USE BY", headline="Tue 3 Nov 2026",
    lines=("made Sat 31 Oct 17:40 · 240 g · box 1 of 4",),
    handling="Keep at 5 °C or colder.", allergens=("soybeans", "wheat"),
    ruler=Ruler(date(2026, 10, 31), date(2026, 11, 3)),
)
with open(sys.argv[1], "wb") as file:
    file.write(draw_sheet([label], load_stock("letter-3x10")))
"""


def labels(folder: Path) -> Iterator[str]:
    """Labels a second and bytes each, on a sheet and a roll; then the first alone."""
    for name in ("letter-3x10", "roll-50x25"):
        yield from _many(name)
    yield _first(folder)


def _many(name: str) -> Iterator[str]:
    stock = load_stock(name)
    draw_sheet(_batches(2 * BATCH, seed=0), stock)
    ours, naive, text, sizes = [], [], [], []
    for seed in range(1, ROUNDS + 1):
        made = _batches(COUNT, seed)
        naive.append(NAIVE_COUNT / _seconds(partial(_naively, made[:NAIVE_COUNT])))
        text.append(COUNT / _seconds(partial(_text_alone, made)))
        out = io.BytesIO()
        ours.append(
            COUNT / _seconds(lambda m=made, o=out: o.write(draw_sheet(m, stock)))
        )
        sizes.append(out.tell() / COUNT)
    goals = " (goals >= 2,500/s, <= 350)" if name == "letter-3x10" else " (no goal)"
    rate = f"median {statistics.median(ours):,.0f}/s, best {max(ours):,.0f}/s"
    yield f"{name}, {COUNT:,} labels: {rate}, {max(sizes):.0f} bytes each{goals}"
    yield (
        f"  {_ratio(ours, naive):.1f} times naive library calls"
        f" ({statistics.median(naive):,.0f}/s, goal > 10.4),"
        f" {_ratio(ours, text):.2f} of six lines of text alone"
        f" ({statistics.median(text):,.0f}/s)"
    )


def _ratio(ours: list[float], other: list[float]) -> float:
    """The median of each round's own ratio: machines are not equally fast for long."""
    return statistics.median(a / b for a, b in zip(ours, other, strict=True))


def _first(folder: Path) -> str:
    """One label on disk, all start-up included, against importing the libraries."""
    floor_command = [sys.executable, "-c", LIBRARIES]
    first_command = [sys.executable, "-c", FIRST, str(folder / "first.pdf")]
    floor, ours = [], []
    for _ in range(STARTS):
        floor.append(_seconds(lambda: subprocess.run(floor_command, check=True)))
        ours.append(_seconds(lambda: subprocess.run(first_command, check=True)))
    return (
        f"first label on disk: libraries alone {_ms(floor)}, label {_ms(ours)}:"
        f" ratio {_ratio(ours, floor):.2f} (goal < 1.5)"
    )


def _batches(count: int, seed: int) -> list[Label]:
    """Batches of thirty: other names, days, hours; each label its own code and mass."""
    dice = random.Random(seed)
    made: list[Label] = []
    for number in range(count // BATCH):
        day = date(2026, 1, 1) + timedelta(days=3 * number + dice.randint(0, 2))
        last = day + timedelta(days=dice.choice((2, 3, 3, 4, 6)))
        hour = f"{dice.randint(8, 21):02}:{dice.randint(0, 59):02}"
        usual = dice.choice((240, 300, 450, 1250))
        for box in range(1, BATCH + 1):
            code = "".join(dice.choices(ALPHABET, k=7))
            grams = usual + dice.randint(-9, 9)
            mass = f"{grams} g" if grams < 1000 else f"{grams / 1000:.2f} kg"
            made.append(
                Label(
                    name=NAMES[number % len(NAMES)],
                    code=code,
                    uri=f"HTTP://LIDCLOCK.LOCAL/C/{code}",
                    headline_word="USE BY",
                    headline=f"{_day(last)} {last.year}",
                    lines=(f"made {_day(day)} {hour} · {mass} · box {box} of {BATCH}",),
                    handling="Keep at 5 °C or colder." + HANDLING[number % 3],
                    allergens=ALLERGENS[number % len(ALLERGENS)],
                    ruler=Ruler(day, last),
                )
            )
    return made


def _day(day: date) -> str:
    return f"{day:%a} {day.day} {day:%b}"


def _naively(made: list[Label]) -> None:
    """One library call for each rectangle, thirty labels a page."""
    import segno
    from barcode.codex import Code128

    def draw(canvas, label, x, y):
        _lines(canvas, label, x, y)
        for first, length in _runs(Code128(label.code).build()[0]):
            canvas.rect(x + first * 0.7, y - 60, length * 0.7, 15, stroke=0, fill=1)
        symbol = segno.make(label.uri, error="m", micro=False, boost_error=False)
        for n, row in enumerate(symbol.matrix):
            for first, length in _runs("".join(map(str, row))):
                place = (x + 130 + first, y - n, length, 1)
                canvas.rect(*place, stroke=0, fill=1)

    _pages(made, draw)


def _text_alone(made: list[Label]) -> None:
    _pages(made, _lines)


def _lines(canvas, label, x, y):
    texts = (
        *(label.name, f"{label.headline_word} {label.headline}", *label.lines),
        *(label.handling, label.allergen_line(), label.typed_code()),
    )
    for n, text in enumerate(texts):
        canvas.drawString(x, y - 8 * n, text)


def _pages(made, draw):
    from reportlab.pdfgen.canvas import Canvas

    canvas = Canvas(io.BytesIO(), pagesize=(612, 792), pageCompression=1)
    for first in range(0, len(made), BATCH):
        canvas.setFont("Helvetica", 7)
        for n, label in enumerate(made[first : first + BATCH]):
            draw(canvas, label, 20 + 200 * (n % 3), 760 - 72 * (n // 3))
        canvas.showPage()
    canvas.save()


def _runs(modules: str) -> Iterator[tuple[int, int]]:
    """The dark runs as (first module, length)."""
    place = 0
    for part in modules.replace("01", "0 1").replace("10", "1 0").split():
        if part[0] == "1":
            yield place, len(part)
        place += len(part)


def _seconds(work: Callable[[], object]) -> float:
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def _ms(taken: list[float]) -> str:
    return f"{statistics.median(taken) * 1e3:,.0f} ms"
