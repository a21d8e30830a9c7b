"""The graph and what it says of each end, worked out by hand."""

from datetime import UTC, datetime, timedelta

import pytest

from lidclock.domain.events import Event
from lidclock.trace.graph import COMBINED, FILLED, MIXED, SPLIT, Link, graph_of
from lidclock.trace.parts import BATCH, CONTAINER, PACK, UNKNOWN, of_lot, part_of
from lidclock.trace.walk import BACK, FORWARD, walk

START = datetime(2026, 11, 2, 9, tzinfo=UTC)
BOUGHT = {"name": "dressing", "category": "sauce", "made_by": "maker"}


def event(number, kind, subject, act="", who="", /, **body):
    at = START + timedelta(minutes=number)
    return Event(
        *(f"{number:03}{kind}{subject}", kind, subject, at, at, "UTC"),
        who=who,
        act=act or f"a{number}",
        body=body,
    )


PACK_OPENED = [
    event(
        *(1, "filled", "DRESS", "", "Ana"),
        food="dressing",
        facts=BOUGHT,
        mass_g=3000.0,
        lot="AB 12",
        maker="North Mill",
        gtin="09501101530003",
        maker_use_by="2026-11-20",
    ),
    event(1, "opened", "DRESS"),
]
SALAD = [
    event(5, "made", "b1", "mix", "Ben", number=4, food="salad", **{"from": ["DRESS"]}),
    event(5, "taken", "DRESS", "mix", mass_g=1200.0),
    event(5, "filled", "TUB1", "mix", batch="b1", index=1, of=2, mass_g=500.0),
    event(5, "filled", "TUB2", "mix", batch="b1", index=2, of=2, mass_g=500.0),
]


def unordered(events):
    return list(reversed(events))


def test_what_was_weighed_into_a_batch_stands_at_its_link():
    graph = graph_of(unordered([*PACK_OPENED, *SALAD]))

    assert graph.inward["b1"] == [Link("DRESS", "b1", MIXED, 1200.0)]
    assert graph.inward["TUB1"] == [Link("b1", "TUB1", FILLED, 500.0)]
    assert part_of(graph, "DRESS").left_g == 1800.0
    assert part_of(graph, "DRESS").elsewhere_g == 0.0


def test_what_was_taken_by_another_act_went_nobody_knows_where():
    taken = event(9, "taken", "DRESS", mass_g=300.0)
    dressing = part_of(graph_of([*PACK_OPENED, *SALAD, taken]), "DRESS")

    assert dressing.elsewhere_g == 300.0
    assert (dressing.onward_g, dressing.left_g) == (1200.0, 1500.0)
    assert not dressing.has_unweighed


def test_a_share_that_nobody_weighed_is_none_and_no_zero():
    made = event(5, "made", "b1", number=4, food="salad", **{"from": ["DRESS"]})
    graph = graph_of([*PACK_OPENED, made])

    assert graph.inward["b1"] == [Link("DRESS", "b1", MIXED, None)]
    assert part_of(graph, "DRESS").has_unweighed


def test_a_pack_is_told_with_maker_lot_date_and_opening():
    pack = part_of(graph_of(PACK_OPENED), "DRESS")

    assert (pack.kind, pack.food, pack.knows_inputs) == (PACK, "dressing", True)
    assert (pack.lot, pack.maker, pack.gtin) == (
        *("AB 12", "North Mill", "09501101530003"),
    )
    assert pack.maker_use_by.isoformat() == "2026-11-20"
    assert pack.opened_at == START + timedelta(minutes=1)
    assert pack.by == "Ana"


def test_a_batch_is_told_with_who_made_it_and_when():
    batch = part_of(graph_of([*PACK_OPENED, *SALAD]), "b1")

    assert (batch.kind, batch.number, batch.food, batch.by) == (
        *(BATCH, 4, "salad", "Ben"),
    )
    assert batch.made_at == START + timedelta(minutes=5)
    assert batch.knows_inputs


def test_a_batch_without_recorded_inputs_says_that_it_does_not_know_them():
    made = event(5, "made", "b1", number=4, food="salad")

    assert not part_of(graph_of([made]), "b1").knows_inputs


def test_what_came_from_nowhere_is_unknown_and_not_left_out():
    graph = graph_of([event(5, "filled", "TUB1", batch="gone", mass_g=5.0)])
    (step,) = walk(graph, ["TUB1"], BACK)

    assert step.key == "gone"
    assert part_of(graph, "gone").kind == UNKNOWN
    assert not part_of(graph, "gone").knows_inputs


def test_a_split_is_followed_to_the_children_and_back():
    split = [
        event(9, "filled", "SPOON", "cut", parent="TUB1", mass_g=100.0),
        event(9, "split", "TUB1", "cut", into={"SPOON": 100.0}),
    ]
    graph = graph_of(unordered([*PACK_OPENED, *SALAD, *split]))

    assert graph.inward["SPOON"] == [Link("TUB1", "SPOON", SPLIT, 100.0)]
    assert part_of(graph, "SPOON").kind == CONTAINER
    back = [(step.key, step.away) for step in walk(graph, ["SPOON"], BACK)]
    assert back == [("TUB1", 1), ("b1", 2), ("DRESS", 3)]
    forward = {step.key for step in walk(graph, ["DRESS"], FORWARD)}
    assert forward == {"b1", "TUB1", "TUB2", "SPOON"}


@pytest.mark.parametrize("told_by", ["filled", "split"])
def test_a_part_is_linked_though_half_of_the_splitting_is_known_here(told_by):
    """What another device recorded of it may come later."""
    both = {
        "filled": event(9, "filled", "SPOON", parent="TUB1", mass_g=100.0),
        "split": event(9, "split", "TUB1", into={"SPOON": 100.0}),
    }
    graph = graph_of([*PACK_OPENED, *SALAD, both[told_by]])

    assert graph.inward["SPOON"] == [Link("TUB1", "SPOON", SPLIT, 100.0)]
    assert "SPOON" in {step.key for step in walk(graph, ["DRESS"], FORWARD)}


def test_all_that_a_part_held_went_into_a_mixture():
    mixed = [
        event(9, "filled", "BOWL", "mix2", food="salad", **{"from": ["TUB1", "TUB2"]}),
        event(9, "combined", "BOWL", "mix2", **{"from": ["TUB1", "TUB2"]}),
        event(9, "combined", "TUB1", "mix2", into="BOWL"),
        event(9, "combined", "TUB2", "mix2", into="BOWL"),
    ]
    graph = graph_of(unordered([*PACK_OPENED, *SALAD, *mixed]))

    assert sorted(graph.inward["BOWL"], key=lambda link: link.source) == [
        Link("TUB1", "BOWL", COMBINED, 500.0),
        Link("TUB2", "BOWL", COMBINED, 500.0),
    ]


def test_what_was_taken_back_leaves_no_link():
    voids = [
        event(20 + at, "corrected", one.subject, event=one.id, void=True)
        for at, one in enumerate(SALAD)
    ]
    graph = graph_of([*PACK_OPENED, *SALAD, *voids])

    assert walk(graph, ["DRESS"], FORWARD) == ()


def test_who_ended_it_is_told_also_where_the_last_of_it_was_taken():
    used = event(9, "used", "TUB1", "", "Cem")
    taken = event(9, "taken", "TUB2", "", "Dee", mass_g=500.0)
    graph = graph_of([*PACK_OPENED, *SALAD, used, taken])

    assert part_of(graph, "TUB1").ended_by == "Cem"
    assert part_of(graph, "TUB2").ended_by == "Dee"
    assert not part_of(graph, "TUB2").is_live


@pytest.mark.parametrize("lot", ["AB 12", "ab12", " AB12 ", "aB 1 2"])
def test_a_lot_is_found_however_it_is_spaced_and_capitalised(lot):
    assert of_lot(graph_of(PACK_OPENED), [lot]) == ["DRESS"]


@pytest.mark.parametrize("lot", ["AB1", "AB 123", "", " "])
def test_another_lot_is_another_lot(lot):
    assert of_lot(graph_of(PACK_OPENED), [lot]) == []


def test_a_batch_of_a_lot_brings_its_containers():
    made = event(5, "made", "b1", number=4, food="salad", lot="X1")
    filled = event(5, "filled", "TUB1", batch="b1")

    assert of_lot(graph_of([made, filled]), ["x1"]) == ["b1", "TUB1"]


def test_both_ways_to_the_same_end_are_told():
    """Dressing went into the salad, and once more with a spoonful split from it."""
    more = [
        event(3, "filled", "CUP", "cut", parent="DRESS", mass_g=100.0),
        event(3, "split", "DRESS", "cut", into={"CUP": 100.0}),
    ]
    made = event(5, "made", "b1", number=4, food="salad", **{"from": ["DRESS", "CUP"]})
    graph = graph_of([*PACK_OPENED, *more, made])
    steps = {step.key: step for step in walk(graph, ["b1"], BACK)}

    assert {link.target for link in steps["DRESS"].links} == {"b1", "CUP"}
    assert steps["DRESS"].away == 1
