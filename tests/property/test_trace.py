"""Tracing against brute force: the same sets, whatever went into what.

The test keeps its own pairs of what went into what and closes them as a matrix; it asks
neither the fold nor the graph.
"""

import random
from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from event_strategies import ledgers
from lidclock.domain.events import Event
from lidclock.domain.fold import fold
from lidclock.trace.graph import graph_of
from lidclock.trace.parts import of_lot
from lidclock.trace.walk import BACK, FORWARD, in_circles, walk

START = datetime(2026, 10, 28, 8, tzinfo=UTC)


class Story:
    """A kitchen's acts as events; `pairs` are what went into what, booked beside."""

    def __init__(self, chance):
        self.chance = chance
        self.events, self.pairs = [], set()
        self.codes, self.lots, self.grams = [], {}, {}
        self.clock, self.count = START, 0

    def act(self, *facts):
        self.clock += timedelta(minutes=5)
        act = f"a{self.count}"
        for kind, subject, body in facts:
            self.count += 1
            self.events.append(
                Event(
                    *(f"e{self.count:06}", kind, subject, self.clock, self.clock),
                    *("UTC", "Ana", "", act, body),
                )
            )

    def some(self):
        most = min(4, len(self.codes))
        return self.chance.sample(self.codes, self.chance.randint(1, most))

    def new(self):
        code = f"C{len(self.codes):04}"
        self.codes.append(code)
        return code

    def open_pack(self):
        code = self.new()
        lot = f"L{self.chance.randint(1, 200)}"
        self.lots.setdefault(lot, set()).add(code)
        body = {"food": "beans", "lot": lot, "mass_g": 500.0}
        self.act(("filled", code, body), ("opened", code, {}))

    def prep(self):
        parts, batch = self.some(), f"b{self.count}"
        taken = [one for one in parts if self.chance.random() < 0.5]
        made = {"number": self.count, "food": "salad", "from": parts}
        new = [self.new() for _ in range(self.chance.randint(1, 3))]
        self.act(
            ("made", batch, made),
            *(("taken", one, {"mass_g": 5.0}) for one in taken),
            *(("filled", code, {"batch": batch, "mass_g": 90.0}) for code in new),
        )
        self.grams |= {(one, batch): 5.0 if one in taken else None for one in parts}
        self.pairs |= {(one, batch) for one in parts}
        self.pairs |= {(batch, code) for code in new}

    def split(self):
        parent, new = self.chance.choice(self.codes), [self.new(), self.new()]
        into = dict.fromkeys(new, 1.0)
        filled = [("filled", x, {"parent": parent, "mass_g": 1.0}) for x in new]
        self.act(*filled, ("split", parent, {"into": into}))
        self.pairs |= {(parent, code) for code in new}

    def combine(self):
        parts = self.some()
        mixture = self.new()
        self.act(
            ("filled", mixture, {"food": "stew", "from": parts}),
            ("combined", mixture, {"from": parts}),
            *(("combined", part, {"into": mixture}) for part in parts),
        )
        self.pairs |= {(part, mixture) for part in parts}

    def tell(self, acts):
        self.open_pack()
        for _ in range(acts):
            steps = [self.open_pack, self.prep, self.prep, self.split, self.combine]
            self.chance.choice(steps)()


def closed(pairs):
    """Every pair that is linked over any number of links, by Warshall's algorithm.

    S. Warshall, "A theorem on Boolean matrices", Journal of the ACM 9 (1962), 11-12:
    a row is a number, with a bit for each end that is reached.
    """
    ends = sorted({end for pair in pairs for end in pair})
    place = {end: at for at, end in enumerate(ends)}
    rows = [0] * len(ends)
    for source, target in pairs:
        rows[place[source]] |= 1 << place[target]
    for via in range(len(ends)):
        for at, row in enumerate(rows):
            if row >> via & 1:
                rows[at] = row | rows[via]
    return {
        (source, target)
        for source in ends
        for target in ends
        if rows[place[source]] >> place[target] & 1
    }


def told(acts, seed):
    story = Story(random.Random(seed))
    story.tell(acts)
    return story


@given(st.integers(0, 14), st.integers(0, 2**32))
def test_back_and_forward_reach_what_brute_force_reaches(acts, seed):
    story = told(acts, seed)
    graph, far = graph_of(story.events), closed(story.pairs)
    ends = {end for pair in story.pairs for end in pair} | set(story.codes)

    for end in ends:
        back = [step.key for step in walk(graph, [end], BACK)]
        onward = [step.key for step in walk(graph, [end], FORWARD)]
        assert len(set(back)) == len(back)
        assert set(back) == {a for a, b in far if b == end}
        assert set(onward) == {b for a, b in far if a == end}


@given(st.integers(0, 14), st.integers(0, 2**32), st.randoms())
def test_the_order_in_which_events_arrive_changes_nothing(acts, seed, shuffler):
    story = told(acts, seed)
    other = list(story.events)
    shuffler.shuffle(other)
    start = story.codes[0]

    seen = [
        {(step.key, step.away) for step in walk(graph_of(events), [start], FORWARD)}
        for events in (story.events, other)
    ]
    assert seen[0] == seen[1]


@given(st.integers(0, 14), st.integers(0, 2**32))
def test_every_link_names_what_was_weighed_into_a_batch(acts, seed):
    story = told(acts, seed)
    graph = graph_of(story.events)
    mixed = {
        (link.source, link.target): link.mass_g
        for links in graph.inward.values()
        for link in links
        if link.how == "mixed"
    }

    assert mixed == story.grams
    assert set(graph.elsewhere_g.values()) <= {0.0}


def test_a_recall_of_any_of_200_lots_names_what_brute_force_names():
    """A season of an invented kitchen: 400 acts, packs of 200 lots."""
    story = told(400, 19)
    graph, far = graph_of(story.events), closed(story.pairs)

    assert len(story.lots) > 50
    after = {}
    for source, target in far:
        after.setdefault(source, set()).add(target)
    for lot, packs in story.lots.items():
        starts = of_lot(graph, [lot])
        reached = {step.key for step in walk(graph, starts, FORWARD)}
        wanted = set().union(*(after.get(pack, ()) for pack in packs))
        # What bears the lot itself, such as what a pack was split into, is named too.
        assert packs <= set(starts) <= packs | wanted
        assert reached | set(starts) == wanted | packs


@given(ledgers(most=12))
def test_what_the_fold_hands_its_past_to_is_what_a_trace_finds(ledger):
    """Allergens and dates go by the fold: none of their sources is left out."""
    inventory, graph = fold(ledger.events), graph_of(ledger.events)

    for container in inventory.containers.values():
        back = {step.key for step in walk(graph, [container.code], BACK)}
        assert set(container.components) <= back
        if container.batch:
            assert container.batch in back


@given(st.lists(st.tuples(st.integers(0, 6), st.integers(0, 6)), max_size=14))
def test_facts_that_go_round_in_a_circle_end_the_walk_and_are_named(pairs):
    """Nobody can cook that; a ledger put together from others may say it."""
    story = Story(random.Random(0))
    linked = set()
    for source, target in pairs:
        parts = [f"C{source}"]
        story.act(("combined", f"C{target}", {"from": parts}))
        linked.add((f"C{source}", f"C{target}"))
    graph, far = graph_of(story.events), closed(linked)
    ends = [f"C{number}" for number in range(7)]

    assert set(in_circles(graph, ends)) == {end for end in ends if (end, end) in far}
    for end in ends:
        reached = {step.key for step in walk(graph, [end], FORWARD)}
        assert reached == {b for a, b in far if a == end} - {end}
