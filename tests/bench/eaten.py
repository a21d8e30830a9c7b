"""How soon a kitchen's record is read: 2,000 live containers, 20,000 ended."""

from __future__ import annotations

import random
import statistics
import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

from lidclock.app import setup
from lidclock.app.amounts import amounts
from lidclock.app.consumption import eaten
from lidclock.app.now import new_ids
from lidclock.app.session import Session
from lidclock.domain.codes import ALPHABET
from lidclock.domain.events import Event
from lidclock.domain.foods import Food
from lidclock.domain.kitchens import Kitchen
from lidclock.domain.snapshots import Snapshot

ZONE = "America/New_York"
NOW = datetime(2026, 10, 31, 21, tzinfo=UTC)
LIVE, ENDED, FOODS, DAYS, ROUNDS = 2_000, 20_000, 60, 365, 9
PORTION_G = 350.0


def eaten_days(folder: Path) -> Iterator[str]:
    """Eight weeks of what was eaten, against reading the live containers."""
    session = _kitchen(folder / "eaten.db")
    reads, records = [], []
    for _ in range(ROUNDS):
        with session.read() as unit:
            began = time.process_time()
            unit.snapshots.find()
            reads.append(time.process_time() - began)
            began = time.process_time()
            found = eaten(unit, NOW)
            records.append(time.process_time() - began)
    with session.read() as unit:
        began = time.process_time()
        asked = amounts(unit)
        whole = time.process_time() - began
    floor, ours = statistics.median(reads), statistics.median(records)
    yield f"{LIVE:,} live containers read in {floor * 1e3:.0f} ms of processor time"
    yield f"{len(found)} foods, {ENDED:,} ended: {ours * 1e3:.0f} ms (goal < 60)"
    yield f"ratio {ours / floor:.2f} (no goal)"
    yield f"amounts of {len(asked)} foods with their errors: {whole * 1e3:.0f} ms"


def _kitchen(path: Path) -> Session:
    """Lives of up to four days, four of five eaten, a fifth of them bit by bit."""
    setup.init_kitchen(path, Kitchen("", "Bench", ZONE))
    session, rng = Session.open(path, now=NOW, device="bench"), random.Random(1)
    snapshots, events = [], []
    ids = iter(new_ids(6 * (LIVE + ENDED)))
    for number in range(LIVE + ENDED):
        ended_at = None
        if number >= LIVE:
            ended_at = NOW - timedelta(days=rng.random() * DAYS)
        one = _container(number, ended_at, rng)
        snapshots.append(one)
        facts = [("filled", {"mass_g": PORTION_G}), ("placed", {"place": "Fridge"})]
        facts += [("taken", {"mass_g": 50.0})] if rng.random() < 0.2 else []
        facts += [(one.end_kind, {})] if one.end_kind else []
        events += [_event(next(ids), one, kind, body) for kind, body in facts]
    with session.write() as unit:
        for number in range(FOODS):
            food = Food(f"food {number}", "soup-stew", portion_g=PORTION_G)
            unit.snapshots.put_food(food)
        unit.snapshots.put_all(snapshots)
        unit.ledger.append_all(sorted(events, key=lambda event: event.happened_at))
    return session


def _container(number: int, ended_at: datetime | None, rng: random.Random) -> Snapshot:
    made_at = (ended_at or NOW) - timedelta(days=4 * rng.random())
    kind = rng.choice(["used"] * 8 + ["discarded", "given"]) if ended_at else ""
    return Snapshot(
        code="".join(ALPHABET[number // 28**place % 28] for place in range(7)),
        food=f"food {rng.randrange(FOODS)}",
        standing="ended" if ended_at else "dated",
        place="Fridge",
        state="fridge",
        mass_g=PORTION_G,
        made_at=made_at,
        last_moment=made_at + timedelta(days=5),
        end_kind=kind,
        ended_at=ended_at,
        subjects=(f"batch {number // 6}",),
    )


def _event(event_id: str, one: Snapshot, kind: str, body: dict[str, object]) -> Event:
    assert one.made_at is not None
    is_end = kind == one.end_kind
    at = one.ended_at if is_end and one.ended_at else one.made_at
    return Event(event_id, kind, one.code, at, at, ZONE, body=body)
