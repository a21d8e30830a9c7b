"""How soon the card of a large kitchen is there: 2,000 containers, 40 meals."""

from __future__ import annotations

import statistics
import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

from lidclock.app import prep, setup
from lidclock.app.session import Fact, Session
from lidclock.app.today import card_of
from lidclock.domain.foods import Food
from lidclock.domain.kitchens import Kitchen
from lidclock.domain.planning import MEAL_SUBJECT, Item, Meal

ZONE = "America/New_York"
START = datetime(2026, 10, 30, 21, tzinfo=UTC)
CONTAINERS, FOODS, MEALS, ROUNDS = 2_000, 25, 40, 15
BATCH = 20


def today(folder: Path) -> Iterator[str]:
    """The card, against reading its containers and no more."""
    session = _kitchen(folder / "today.db")
    reads, cards = [], []
    for _ in range(ROUNDS):
        with session.read() as unit:
            began = time.perf_counter()
            live = unit.snapshots.find()
            reads.append(time.perf_counter() - began)
        with session.read() as unit:
            began = time.perf_counter()
            card, _facts = card_of(unit)
            cards.append(time.perf_counter() - began)
    floor, ours = statistics.median(reads), statistics.median(cards)
    count = len(card.shown) + len(card.more)
    yield f"{len(live):,} containers read in {floor * 1e3:.0f} ms"
    yield f"card of {count} proposals, {MEALS} meals: {ours * 1e3:.0f} ms (goal < 300)"
    yield f"ratio {ours / floor:.1f} (no goal)"


def _kitchen(path: Path) -> Session:
    setup.init_kitchen(path, Kitchen("", "Bench", ZONE))
    session = Session.open(path, now=START, device="bench")
    fridge = session.place("Fridge")
    foods = [
        Food(f"food {number}", "soup-stew", (), portion_g=300)
        for number in range(FOODS)
    ]
    for number in range(CONTAINERS // BATCH):
        session.now = START + timedelta(minutes=30 * number)
        order = prep.Order(
            foods[number % FOODS],
            BATCH,
            portion_g=300,
            made_at=session.now - timedelta(minutes=30),
            place=fridge,
        )
        with session.write() as unit:
            prep.prep(unit, order)
    session.now = START + timedelta(days=3)
    _plan(session, foods)
    return session


def _plan(session: Session, foods: list[Food]) -> None:
    """Meals of two foods each, every evening of so many kitchens' tables."""
    facts = []
    for number in range(MEALS):
        pair = (foods[number % FOODS], foods[(7 * number + 3) % FOODS])
        meal = Meal(
            id=f"{number:036}",
            begins=datetime(2026, 10, 31, 17 + number % 3, 30),
            zone_name=ZONE,
            items=tuple(Item(food.name, 6) for food in pair),
            rule="FREQ=DAILY",
        )
        facts.append(
            Fact("noted", f"{MEAL_SUBJECT}{meal.id}", {"meal": meal.as_dict()})
        )
    with session.write() as unit:
        unit.record(facts)
