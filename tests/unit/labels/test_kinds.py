"""Kinds of label are data, read strictly."""

import pytest

from lidclock.errors import LabelError
from lidclock.labels import data, kinds
from lidclock.labels.kinds import load_kind

GOOD = """
name = "fridge"
word = "USE BY"
headline = "last_day"
note = ["hour"]
lines = [["made", "mass"]]
handling = "cold"
day_rule = true
"""


@pytest.fixture
def folder(tmp_path, monkeypatch):
    (tmp_path / "kind").mkdir()
    monkeypatch.setattr(data, "folder", lambda: tmp_path)
    load_kind.cache_clear()
    yield tmp_path / "kind"
    load_kind.cache_clear()


def test_every_shipped_kind_is_read():
    names = data.names("kind")

    assert set(names) == {
        *("fridge", "freezer", "thaw", "opened", "hot", "hour", "no-date"),
    }
    assert [load_kind(name).name for name in names] == list(names)


def test_a_thaw_label_tells_when_it_was_pulled_is_ready_and_is_used_by():
    thaw = load_kind("thaw")

    assert (thaw.lines[0], thaw.headline) == (("pulled", "ready"), "last_day")


def test_every_fact_that_a_kind_may_name_has_words():
    from lidclock.app import wording

    assert set(wording._FACTS) == set(kinds.FACTS)
    assert set(wording._NOTES) == set(kinds.NOTES)
    assert set(wording._HEADLINES) == set(kinds.HEADLINES)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('"hour"', '"weather"', "note must be one of hour, .* not 'weather'"),
        ('["made", "mass"]', '"made"', "lines must be a list of names"),
        ('[["made", "mass"]]', '"made"', "lines must be a list of lines"),
        ('"last_day"', '"when"', "headline must be one of last_day"),
        ("true", '"yes"', "day_rule must be true or false, not 'yes'"),
        ('word = "USE BY"', "", "word is missing"),
        ("day_rule", "colour = 1\nday_rule", "colour is no key; there are day_rule"),
        ('"USE BY"', '"', "kind file fridge.toml cannot be read"),
    ],
)
def test_what_is_wrong_with_a_file_is_said(folder, old, new, said):
    (folder / "fridge.toml").write_text(GOOD.replace(old, new, 1), encoding="utf-8")

    with pytest.raises(LabelError, match=said):
        load_kind("fridge")


def test_a_kind_that_is_not_there_names_those_that_are(folder):
    (folder / "fridge.toml").write_text(GOOD, encoding="utf-8")

    with pytest.raises(LabelError, match="no kind of label 'party'; there is fridge"):
        load_kind("party")
