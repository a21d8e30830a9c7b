"""Every text that wants a translation, and what the catalogues lack.

Texts are those of the pages, the sentences of the program that pages show, and those of
guidance that are the program's own.

python -m lidclock.web.words_found            # tell what is missing or stale
python -m lidclock.web.words_found --write    # put new texts in, take stale ones out
"""

from __future__ import annotations

import ast
import re
import sys
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from jinja2.ext import extract_from_ast

from lidclock.app.guidance_words import own_words
from lidclock.web.catalogue import Catalogue, Entry, Key, escaped, read_catalogue
from lidclock.web.files import TEMPLATES
from lidclock.web.render import environment
from lidclock.web.words import LANGUAGES, LOCALE, SOURCE

HERE = Path(__file__).parent
PROGRAM = HERE.parent
ONE, MANY = ("_", "marked"), "ngettext"
# What the program itself says, wherever it says it: domain/sentences.py.
SENTENCE, SENTENCES = "sentence", "sentences"
_SAYS = (
    "domain",
    "guidance",
    "clock",
    "alerts",
    "plan",
    "app",
    "store",
    "templog",
    "gateways",
)
_PLACE = re.compile(r"\{[^}]*\}|%\([a-z_]+\)[sd]|%[sd]")
# What a plural form may leave out: one that means "two" says so in letters.
_COUNTS = frozenset({"{count}", "%(num)s", "%(count)s"})
# This file and the words' own modules speak of these functions without using them.
_NOT_READ = frozenset({"words_found.py", "words.py", "catalogue.py", "pseudo.py"})


@dataclass(frozen=True, slots=True)
class Found:
    """One text where it stands in a file; `key` is None if it is computed."""

    key: Key | None
    where: str


def found() -> list[Found]:
    """Every text in the templates and modules of the page, in the order of files."""
    texts: list[Found] = []
    for path in sorted(TEMPLATES.rglob("*.html")):
        texts += _in_template(path)
    for path in sorted(HERE.rglob("*.py")):
        if path.name not in _NOT_READ:
            texts += _in_module(path)
    for folder in _SAYS:
        for path in sorted((PROGRAM / folder).rglob("*.py")):
            if path.name != "sentences.py":
                texts += _in_module(path)
    return texts + [Found((text, None), "guidance:0") for text in own_words()]


def _in_template(path: Path) -> Iterator[Found]:
    tree = environment().parse(path.read_text(encoding="utf-8"))
    name = path.relative_to(HERE).as_posix()
    for line, function, said in extract_from_ast(tree, (*ONE, MANY)):
        parts = said if isinstance(said, tuple) else (said,)
        yield Found(_key(function, parts), f"{name}:{line}")


def _in_module(path: Path) -> Iterator[Found]:
    is_page = path.is_relative_to(HERE)
    functions = (*(*ONE, MANY) * is_page, SENTENCE, SENTENCES)
    name = path.relative_to(HERE if is_page else PROGRAM).as_posix()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Name):
            continue
        if node.func.id in functions:
            parts = [
                one.value if isinstance(one, ast.Constant) else None
                for one in node.args
            ]
            yield Found(_key(node.func.id, parts), f"{name}:{node.lineno}")


def _key(function: str, parts: Iterable[object]) -> Key | None:
    texts = [part if isinstance(part, str) else None for part in parts]
    if not texts or texts[0] is None:
        return None
    if function not in (MANY, SENTENCES):
        return texts[0], None
    return (texts[0], texts[1]) if len(texts) > 1 and texts[1] else None


def faults(texts: Iterable[Found], name: str, catalogue: Catalogue) -> Iterator[str]:
    """What is wrong with a catalogue, or with a text that no catalogue can hold."""
    wanted: dict[Key, str] = {}
    for text in texts:
        if text.key is None:
            yield f"{text.where}: the text is computed; write it out, or use marked()"
        else:
            wanted.setdefault(text.key, text.where)
    for key, where in wanted.items():
        entry = catalogue.entries.get(key)
        if entry is None:
            yield f"{name}: {where}: {key[0]!r} is missing"
        else:
            yield from _entry_faults(name, entry, catalogue.form_count)
    for key in catalogue.entries.keys() - wanted.keys():
        yield f"{name}: {key[0]!r} is stale: no page says it"


def _entry_faults(name: str, entry: Entry, form_count: int) -> Iterator[str]:
    forms = form_count if entry.plural else 1
    if len(entry.says) != forms or not all(entry.says) or entry.is_fuzzy:
        yield f"{name}: {entry.key!r} is not translated in {forms} form(s)"
    places = set(_PLACE.findall(entry.key + (entry.plural or "")))
    for said in entry.says:
        has = set(_PLACE.findall(said))
        may_go = _COUNTS if entry.plural else frozenset()
        if said and (has - places or places - has - may_go):
            yield f"{name}: {entry.key!r} has other places for values than {said!r}"


def written(texts: Iterable[Found], catalogue: Catalogue, header: str) -> str:
    """The catalogue with what is new, empty, and without what is stale."""
    where: dict[Key, list[str]] = {}
    for text in texts:
        if text.key is not None:
            where.setdefault(text.key, []).append(text.where.rpartition(":")[0])
    blocks = [header.rstrip()]
    for key, places in where.items():
        entry = catalogue.entries.get(key) or _empty(key, catalogue.form_count)
        blocks.append(_block(entry, sorted(set(places))))
    return "\n\n".join(blocks) + "\n"


def _empty(key: Key, form_count: int) -> Entry:
    return Entry(*key, ("",) * (form_count if key[1] else 1))


def _block(entry: Entry, places: list[str]) -> str:
    lines = [f"#: {' '.join(places)}"] + (["#, fuzzy"] if entry.is_fuzzy else [])
    lines.append(f'msgid "{escaped(entry.key)}"')
    if entry.plural is None:
        return "\n".join([*lines, f'msgstr "{escaped(entry.says[0])}"'])
    lines.append(f'msgid_plural "{escaped(entry.plural)}"')
    said = (f'msgstr[{at}] "{escaped(one)}"' for at, one in enumerate(entry.says))
    return "\n".join([*lines, *said])


def catalogues() -> dict[str, Path]:
    """The file of each language but English."""
    return {
        name: LOCALE / name.replace("-", "_") / "LC_MESSAGES" / "page.po"
        for name in LANGUAGES
        if name != SOURCE
    }


def main(arguments: list[str]) -> int:
    """Tell the faults, or write what is new; 1 where something is left to do."""
    texts = found()
    told: list[str] = []
    for name, path in catalogues().items():
        catalogue = read_catalogue(path)
        if "--write" in arguments:
            header = path.read_text(encoding="utf-8").partition("\n\n")[0]
            path.write_text(written(texts, catalogue, header), encoding="utf-8")
            catalogue = read_catalogue(path)
        told += faults(texts, name, catalogue)
    print("\n".join(dict.fromkeys(told)) or "every text is translated")
    return int(bool(told))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
