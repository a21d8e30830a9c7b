"""Which guidance a kitchen goes by: the shipped sets, a local one, who eats there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from lidclock.app.session import Session
from lidclock.domain.kitchens import Kitchen
from lidclock.domain.moments import local_date
from lidclock.errors import GuidanceError, InputError
from lidclock.guidance.load import (
    load_categories,
    load_cautions,
    load_set,
    set_names,
)
from lidclock.guidance.sets import GuidanceSet, is_safety
from lidclock.store import Kitchens

_MOST_BYTES = 1_000_000


def guidance_of(kitchen: Kitchen) -> GuidanceSet:
    """The set in force in a kitchen, read strictly where people at risk eat."""
    if kitchen.guidance_text:
        guidance = read_local(kitchen.guidance_text, f"{kitchen.guidance}.toml")
    else:
        guidance = load_set(kitchen.guidance)
    return guidance.for_high_risk() if kitchen.is_high_risk else guidance


def read_local(text: str, file: str) -> GuidanceSet:
    """A local set from its rule file; GuidanceError says where the file is wrong."""
    from lidclock.guidance import local

    return local.read_local(
        text,
        file,
        categories=load_categories(),
        cautions=load_cautions(),
        shipped=set_names(),
        base_of=load_set,
    )


@dataclass(frozen=True, slots=True)
class Changed:
    """What a change of guidance did to the containers there are."""

    guidance: GuidanceSet
    earlier: int
    later: int
    settled: int
    unsettled: int
    same: int


def use(
    session: Session, name: str | None = None, *, is_high_risk: bool | None = None
) -> Changed:
    """Go by a shipped set, or change who eats here; last days are worked out anew."""
    kitchen = session.kitchen
    if name is not None and name != kitchen.guidance:
        load_set(name)
        kitchen = replace(kitchen, guidance=name, guidance_text="")
    if is_high_risk is not None:
        kitchen = replace(kitchen, is_high_risk=is_high_risk)
    return _changed(session, kitchen)


def add(session: Session, path: Path) -> Changed:
    """Go by the local set in the file at `path`, which the kitchen keeps."""
    text = _read(path)
    guidance = read_local(text, path.name)
    _refuse_future(guidance, session, path.name)
    kitchen = replace(session.kitchen, guidance=guidance.id, guidance_text=text)
    return _changed(session, kitchen)


def _refuse_future(guidance: GuidanceSet, session: Session, file: str) -> None:
    """An approval that has not been given yet is none."""
    today = local_date(session.now, session.kitchen.zone)
    for rule in guidance.rules:
        if rule.approval is not None and rule.approval.on > today:
            raise GuidanceError(
                f"{file}: {rule.id}: approved_on {rule.approval.on} is in the future"
            )


def check(path: Path) -> GuidanceSet:
    """The local set in a file, only looked at."""
    return read_local(_read(path), path.name)


def _read(path: Path) -> str:
    try:
        raw = path.read_bytes()
    except OSError as error:
        raise InputError(f"cannot read {path}: {error.strerror}") from error
    if len(raw) > _MOST_BYTES:
        raise InputError(f"{path} is too large for a rule file; is it the right one?")
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError as error:
        raise GuidanceError(f"{path.name}: not UTF-8 text") from error


def _changed(session: Session, kitchen: Kitchen) -> Changed:
    from lidclock.app.transfer import rebuild

    guidance = guidance_of(kitchen)
    with session.write() as unit:
        before = {one.code: one.last_moment for one in unit.snapshots.find()}
        Kitchens(unit.connection).update(kitchen)
        session.adopt_kitchen(kitchen)
        rebuild(unit)
        after = {one.code: one.last_moment for one in unit.snapshots.find()}
    moves = {"earlier": 0, "later": 0, "settled": 0, "unsettled": 0, "same": 0}
    for code, now in after.items():
        was = before.get(code)
        if was == now:
            moves["same"] += 1
        elif was is None:
            moves["settled"] += 1
        elif now is None:
            moves["unsettled"] += 1
        else:
            moves["earlier" if now < was else "later"] += 1
    return Changed(guidance, **moves)


def shipped() -> Iterator[GuidanceSet]:
    """Every shipped set, by name."""
    for name in set_names():
        yield load_set(name)


def limits_of(guidance: GuidanceSet) -> tuple[int, int]:
    """How many limits a set has, and how many of them nobody checked."""
    limits = [rule for rule in guidance.rules if is_safety(rule)]
    return len(limits), sum(1 for rule in limits if not rule.source.verified)
