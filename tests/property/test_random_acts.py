"""Whatever people record, lists and verdicts agree and nothing unexpected happens.

Random acts on a real database, odd and mistaken ones included: refused with one line,
or recorded. Each example is a whole story, so there are few of them.
"""

import random
from datetime import UTC, date, datetime, timedelta

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from lidclock.app import (
    cooling,
    corrections,
    lists,
    moves,
    portions,
    prep,
    setup,
    transfer,
)
from lidclock.app.prep import Input, Order
from lidclock.app.session import Session, food_fact
from lidclock.domain.foods import Food
from lidclock.domain.kitchens import Kitchen
from lidclock.errors import LidclockError

START = datetime(2026, 10, 20, 12, tzinfo=UTC)
ZONES = ("America/New_York", "Pacific/Apia", "Africa/Cairo")
SETS = ("us-home", "us-food-code", "us-food-code-freeze-day-free")
STEPS = 40


class Story:
    """One kitchen in which somebody does one random thing after another."""

    def __init__(self, path, chance):
        self.path, self.chance, self.now = path, chance, START
        self.answers: list[str] = []
        kitchen = Kitchen(
            "",
            "Story",
            chance.choice(ZONES),
            guidance=chance.choice(SETS),
            accepts_unmeasured=chance.random() < 0.8,
        )
        setup.init_kitchen(path, kitchen)

    def session(self):
        device = self.chance.choice("ab")
        return Session.open(self.path, now=self.now, device=device)

    def act(self):
        """Do one thing; a refusal is an answer too."""
        self.now += timedelta(minutes=self.chance.choice([1, 5, 30, 200, 900]))
        session = self.session()
        try:
            with session.write() as unit:
                act = self.chance.choice(self.acts(unit))
                act()
        except LidclockError as error:
            self.answers.append(str(error))
        finally:
            session.close()

    def acts(self, unit):
        pick = self.chance.choice
        code = pick([*(x.code for x in unit.snapshots.find(live=False)), "4F7K2M0"])
        at = pick([None, None, self.now - timedelta(minutes=pick([1, 60, 3000]))])
        anyway = pick([True, False])
        place = pick([None, *unit.session.places])
        mass_g = pick([5.0, 50.0, 500.0])
        return [
            lambda: prep.prep(unit, self.order(code, at, place)),
            lambda: prep.prep(unit, self.order(code, at, place)),
            lambda: prep.open_pack(
                unit,
                self.food("maker"),
                mass_g=mass_g,
                maker_use_by=pick([None, date(2026, 10, 25)]),
                opened_at=at,
                place=place,
            ),
            lambda: prep.adopt(unit, self.food(), made_at=at, place=place),
            lambda: moves.place(
                unit,
                code,
                place or unit.session.places[0],
                at=at,
                temp_c=pick([None, 3.0, 9.0]),
                anyway=anyway,
            ),
            lambda: moves.freeze(unit, code, at=at, anyway=anyway),
            lambda: moves.thaw(unit, code, at=at, anyway=anyway),
            lambda: moves.use(unit, code, at=at, anyway=anyway),
            lambda: moves.discard(unit, code, "dropped", at=at, anyway=anyway),
            lambda: moves.take(unit, code, mass_g, at=at, anyway=anyway),
            lambda: moves.reheated(unit, code, at=at, temp_c=pick([None, 30.0, 80.0])),
            lambda: moves.cooled(unit, code, at=at, temp_c=pick([None, 3.0, 50.0])),
            lambda: self.cool(unit, code, at, place),
            lambda: self.cool(unit, code, at, place),
            lambda: self.cool(unit, code, at, place),
            lambda: moves.missing(unit, code, at=at),
            lambda: portions.split(unit, code, [mass_g], at=at),
            lambda: portions.combine(unit, [code, *unit.snapshots.codes()[:1]], at=at),
            lambda: corrections.undo(unit),
            lambda: corrections.correct_container(unit, code, self.change(mass_g)),
            lambda: unit.record([food_fact(self.food())]),
        ]

    def cool(self, unit, code, at, place):
        """Something in the cooling log of a batch or of a container."""
        pick = self.chance.choice
        target = cooling.target_of(unit, pick([code, code, "1", "2", "3"]))
        temp_c, anyway = pick([3.0, 15.0, 30.0, 60.0]), pick([True, True, False])
        medium_c = pick([None, 0.0, 4.0, 7.0])
        phase = pick(["start", "read", "read", "finish", "reheat", "discard"])
        if phase == "start":
            depth_mm, is_covered = pick([None, 50.0]), pick([None, True, False])
            setting = cooling.Setting(depth_mm, is_covered, place, medium_c)
            return cooling.start(unit, target, setting, temp_c=temp_c, at=at)
        shared = {"at": at, "medium_c": medium_c, "anyway": anyway}
        if phase == "read":
            return cooling.read(unit, target, temp_c, **shared)
        if phase == "finish":
            return cooling.finish(unit, target, temp_c, **shared)
        if phase == "reheat":
            heated = pick([60.0, 80.0])
            return cooling.finish(unit, target, temp_c, reheat_c=heated, **shared)
        return cooling.finish(unit, target, discard="slow", **shared)

    def order(self, code, at, place):
        pick = self.chance.choice
        inputs = pick([(), (), (Input(code, pick([None, 20.0])),)])
        return Order(
            self.food(),
            pick([1, 2, 3]),
            portion_g=pick([None, 250.0]),
            made_at=at,
            place=place,
            inputs=inputs,
            anyway=pick([True, False]),
        )

    def food(self, made_by="kitchen"):
        pick = self.chance.choice
        return Food(
            f"food {pick(range(6))}",
            pick(sorted(setup.load_categories())),
            pick([None, (), ("milk",)]),
            made_by=made_by,
            pack=pick(["air", "air", "vacuum"]),
            house_days=pick([None, None, 3]),
        )

    def change(self, mass_g):
        earlier = self.now - timedelta(minutes=self.chance.choice([10, 5000]))
        return self.chance.choice(
            [
                corrections.Change(made_at=earlier),
                corrections.Change(placed_at=earlier),
                corrections.Change(mass_g=mass_g),
            ]
        )

    def disagreements(self):
        """Containers that a list and a verdict put differently at this moment."""
        session = self.session()
        try:
            with session.read() as unit:
                found = unit.snapshots.find(live=False)
                return [
                    one.code
                    for one in found
                    if lists.listed(session, one).status
                    != unit.view(one.code).verdict.status
                ]
        finally:
            session.close()

    def unseen_logs(self):
        """Open cooling logs that the due list does not show, or shows twice."""
        session = self.session()
        try:
            lists.alerts(session, timedelta(hours=36))
            shown = [
                view.code for one in lists.due(session).cooling for view in one.views
            ]
            with session.read() as unit:
                is_open = [
                    one.code
                    for one in unit.snapshots.find(live=False)
                    if unit.view(one.code).container.cooling_since is not None
                ]
            return sorted(shown) != sorted(is_open)
        finally:
            session.close()

    def is_rebuilt_equal(self):
        """Whether the projections, folded again much later, are what they were."""
        self.now += timedelta(days=40)
        session = self.session()
        try:
            with session.write() as unit:
                return transfer.rebuild(unit)
        finally:
            session.close()


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(seed=st.integers(0, 2**32))
def test_lists_verdicts_and_a_rebuild_agree_after_any_story(tmp_path_factory, seed):
    story = Story(tmp_path_factory.mktemp("story") / "kitchen.db", random.Random(seed))
    for _ in range(STEPS):
        story.act()

    assert [answer for answer in story.answers if "\n" in answer] == []
    assert story.disagreements() == []
    assert not story.unseen_logs()
    assert story.is_rebuilt_equal()
