"""All 160 published checks of labels and symbols are tested, or left out with a reason.

data/label_check_places.json names each by its id: where it is checked, be it a file of
this folder whose data bears that id or one test by name, or why it is not.
"""

import json
import re
from collections import Counter
from pathlib import Path

import pytest

HERE = Path(__file__).parent
PLACES = json.loads((HERE / "data" / "label_check_places.json").read_text("utf-8"))
IDS = [one for place in PLACES for one in place["ids"]]
CHECKED = [place for place in PLACES if "checked_in" in place]
LEFT_OUT = [place for place in PLACES if "left_out" in place]


def named(place):
    return f"{place['topic']} {place['ids'][0]}"


def test_all_the_checks_are_counted_once():
    assert len(IDS) == 160
    assert [one for one, count in Counter(IDS).items() if count > 1] == []
    assert len(CHECKED) + len(LEFT_OUT) == len(PLACES)


@pytest.mark.parametrize("place", CHECKED, ids=named)
def test_what_is_checked_stands_where_it_is_said_to(place):
    """The data bear each id, and the test asks for it by id or by topic."""
    file, _, test = place["checked_in"].partition("::")
    source = (HERE / file).read_text("utf-8")
    if test:
        assert re.search(rf"^def {test}\(", source, re.MULTILINE)
        return
    names = re.findall(r"\"([a-z0-9_]+\.json)\"", source)
    data = "".join((HERE / "data" / name).read_text("utf-8") for name in names)
    for check in place["ids"]:
        assert json.dumps(check) in data
        assert is_asked_for(check, place["topic"], source)


def is_asked_for(check, topic, source):
    """By its id, by its topic, or by the table that holds nothing else."""
    tables = {
        "code128": 'DATA["figures"]',
        "code128-check": 'DATA["checks"]',
        "aim-symbology-id": f'"]{check.removeprefix("aim-")}"',
    }
    return any(
        word in source
        for word in (f'"{check}"', f'"{topic}"', tables.get(topic, f'"{check}"'))
    )


@pytest.mark.parametrize("place", LEFT_OUT, ids=named)
def test_what_is_left_out_has_its_reason_and_is_in_no_data(place):
    data = "".join(
        path.read_text("utf-8")
        for path in (HERE / "data").glob("*.json")
        if path.name != "label_check_places.json"
    )

    assert len(place["left_out"]) > 20
    assert [one for one in place["ids"] if json.dumps(one) in data] == []


def test_thirty_three_are_left_out():
    assert sum(len(place["ids"]) for place in LEFT_OUT) == 33
