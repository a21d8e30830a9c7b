"""A label of each kind, invented, for contact sheets and for trying a new stock."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from types import MappingProxyType

from lidclock.labels.content import Label, Ruler

_CODE = "4F7K2M0"
_URI = f"HTTP://LIDCLOCK.LOCAL/C/{_CODE}"
_MADE = "made Sat 26 Sep 17:10 · 350 g · box 2 of 6"


def _label(**changes: object) -> Label:
    words: dict[str, object] = {
        "name": "bean stew",
        "code": _CODE,
        "uri": _URI,
        "headline_word": "USE BY",
        "headline": "Tue 29 Sep 2026",
        "lines": (_MADE,),
        "handling": "Keep at 5 °C or colder. Heat through to serve.",
        "allergens": ("celery",),
    }
    return Label(**{**words, **changes})  # type: ignore[arg-type]


# As wide as everyday labels come: the widest date of its year, and a code wider than
# all but one in 270,000. A stock that it does not fit on is of no use.
EVERYDAY = Label(
    name="bean stew",
    code="WWWWW00",
    uri="HTTP://LIDCLOCK.LOCAL/C/WWWWW00",
    headline_word="USE BY",
    headline="Wed 30 Sep 2026",
    lines=("made Sat 26 Sep 17:10 · 350 g",),
    handling="Keep at 5 °C or colder.",
    allergens=("celery",),
)

_RULER = Ruler(date(2026, 9, 26), date(2026, 9, 29))
EXAMPLES: Mapping[str, Label] = MappingProxyType(
    {
        "fridge": _label(ruler=_RULER),
        "freezer": _label(
            uri=f"{_URI}/2",
            headline_word="FROZEN",
            headline="Sun 27 Sep 2026",
            headline_note="2 of 4 days used",
            lines=(_MADE, "best by Fri 27 Nov 2026 (quality)"),
            handling="Keep frozen. Thaw in the fridge. Heat through to serve.",
        ),
        "thaw": _label(
            uri=f"{_URI}/3",
            headline="Wed 11 Nov 2026",
            lines=("pulled Tue 10 Nov 09:00 · ready Wed 11 Nov 08:00", _MADE),
            ruler=Ruler(
                date(2026, 9, 26),
                date(2026, 11, 11),
                tuple(
                    date.fromordinal(n)
                    for n in range(
                        date(2026, 9, 28).toordinal(), date(2026, 11, 10).toordinal()
                    )
                ),
            ),
        ),
        "opened": _label(
            name="mayonnaise",
            headline="Tue 29 Dec 2026",
            lines=("opened Sun 1 Nov 13:00 · 400 g", "maker's date Mon 1 Mar 2027"),
            handling="Keep at 5 °C or colder.",
            allergens=("egg", "mustard"),
        ),
        "hour": _label(
            headline_word="DISCARD AT",
            headline="13:30 Sun 27 Sep",
            lines=(_MADE, "Counter since Sun 27 Sep 12:00"),
            handling="Serve or throw away by then.",
        ),
        "hot": _label(
            lines=(_MADE, "Warmer since Sun 27 Sep 12:00"),
            handling="Keep at 60 °C or hotter.",
            ruler=_RULER,
        ),
        "no-date": _label(
            headline_word="NO DATE",
            headline="ask before use",
            headline_note="last day not known",
            lines=("making time not recorded · 350 g",),
            allergens=None,
        ),
        "house rule": _label(
            name="bun dough",
            headline_word="BEST BY",
            headline="Thu 1 Oct 2026",
            headline_note="house rule, no authority",
            allergens=("wheat", "milk"),
            ruler=Ruler(date(2026, 9, 26), date(2026, 10, 1)),
        ),
        "crowded": _label(
            name="slow-braised shiitake and black-bean filling with mustard greens",
            headline="Wed 30 Sep 2026",
            lines=("made Thu 24 Sep 17:40 · 1.25 kg · box 12 of 14 · lot A-2209",),
            handling="Keep at 5 °C or colder. Heat through to 74 °C before serving.",
            allergens=("milk", "eggs", "fish", "tree nuts", "wheat", "soy", "sesame"),
            ruler=Ruler(date(2026, 9, 24), date(2026, 9, 30)),
        ),
    }
)
