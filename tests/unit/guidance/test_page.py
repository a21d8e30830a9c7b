"""The page of guidance: words of rule files stay words in Markdown."""

from dataclasses import replace

from lidclock.guidance import page
from lidclock.guidance.load import load_set


def test_nothing_in_a_rule_file_becomes_html_or_another_cell(monkeypatch):
    hostile = "<script>alert(1)</script> | <img src=x onerror=y>"

    def tampered(name):
        whole = load_set(name)
        rules = tuple(replace(rule, says=hostile) for rule in whole.rules)
        return replace(whole, rules=rules, title=hostile, advice=hostile)

    monkeypatch.setattr(page, "load_set", tampered)
    text = page.page()
    rows = [line for line in text.splitlines() if "alert(1)" in line]

    assert "&lt;script>alert(1)" in text
    assert "<script" not in text
    assert "<img" not in text
    assert {line.count(" | ") for line in rows if line.startswith("| `")} == {5}
