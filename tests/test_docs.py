"""The README's tour runs and says what it says; documents name what there is."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from lidclock.guidance.load import set_names
from lidclock.guidance.page import page

ROOT = Path(__file__).parent.parent
CODE = re.compile(r"\b[0-9B-HJ-KM-NPR-TV-X]{3} ?[0-9B-HJ-KM-NPR-TV-X]{4}\b")


def steps(text: str) -> list[tuple[str, list[str]]]:
    """The commands of the tour with the lines printed beneath each."""
    found: list[tuple[str, list[str]]] = []
    for block in re.findall(r"```console\n(.*?)```", text, re.DOTALL):
        for line in block.splitlines():
            if line.startswith("$ "):
                found.append((line.removeprefix("$ "), []))
            else:
                found[-1][1].append(line)
    return found


def renamed(line: str, names: dict[str, str]) -> str:
    """The line with the README's codes replaced by those drawn this time."""

    def swap(match: re.Match[str]) -> str:
        bare = match[0].replace(" ", "")
        new = names.get(bare, bare)
        return f"{new[:3]} {new[3:]}" if " " in match[0] else new

    return CODE.sub(swap, line)


def learn(expected: list[str], seen: list[str], names: dict[str, str]) -> None:
    """Match codes that appear for the first time, line by line."""
    for old, new in zip(expected, seen, strict=False):
        for one, other in zip(CODE.findall(old), CODE.findall(new), strict=False):
            names.setdefault(one.replace(" ", ""), other.replace(" ", ""))


def test_the_page_of_guidance_is_fresh():
    assert (ROOT / "docs" / "guidance.md").read_text("utf-8") == f"{page()}\n", (
        "renew it: make guidance"
    )


def test_the_tour_in_the_readme_prints_what_it_says(tmp_path):
    environment = {k: v for k, v in os.environ.items() if "LIDCLOCK" not in k}
    names: dict[str, str] = {}
    told, printed = [], []
    for command, expected in steps((ROOT / "README.md").read_text("utf-8")):
        words = shlex.split(renamed(command, names))
        if words[0] == "export":
            environment.update(word.split("=", 1) for word in words[1:])
            continue
        result = subprocess.run(
            [sys.executable, "-m", *words],
            cwd=tmp_path,
            env=environment,
            capture_output=True,
            text=True,
            check=False,
        )
        seen = (result.stdout + result.stderr).replace(f"{tmp_path}/", "").splitlines()
        learn(expected, seen, names)
        told += [command, *(renamed(line, names) for line in expected)]
        printed += [command, *seen]

    assert len(names) == 6
    assert printed == told


def test_every_guidance_set_stands_in_the_readme():
    text = (ROOT / "README.md").read_text("utf-8")

    assert [name for name in set_names() if f"`{name}`" not in text] == []


@pytest.mark.parametrize(
    "path", sorted(ROOT.glob("*.md")) + sorted(ROOT.glob("docs/*.md"))
)
def test_links_between_documents_lead_somewhere(path):
    links = re.findall(r"\]\(([^)#:]+)(?:#[^)]*)?\)", path.read_text("utf-8"))

    assert [link for link in links if not (path.parent / link).exists()] == []


def test_nothing_that_people_read_calls_food_safe():
    """The product says what guidance allows, until when, and never more."""
    texts = [*ROOT.glob("src/lidclock/**/*.py"), *ROOT.glob("src/lidclock/**/*.toml")]
    said = [
        f"{path.name}: {line.strip()}"
        for path in texts
        for line in path.read_text("utf-8").splitlines()
        # A word of browsers' policies, which says nothing of food.
        if re.search(r"(?<!wasm-)\b(un)?safe\b", line, re.IGNORECASE)
        and not re.search(r"url =|document =|authority =", line)
    ]

    assert said == []
