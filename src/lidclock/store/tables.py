"""The tables; the kitchen comes first in every key, so they can be partitioned by it.

Instants are whole microseconds since 1970 in UTC (`*_us`), days are ISO text, anything
nested is compact JSON text. SQLite holds every column to its type (STRICT).
"""

from __future__ import annotations

from typing import Any

import sqlalchemy as sa

metadata = sa.MetaData()
REVISION = "0017"  # what the steps in migrations/ make, up to this one
# Where Alembic writes that down; no table of ours.
version = sa.Table(
    "alembic_version",
    sa.MetaData(),
    sa.Column("version_num", sa.String(32), nullable=False),
    sa.PrimaryKeyConstraint("version_num", name="alembic_version_pkc"),
)
# SQLite's INTEGER already has 64 bits, and a STRICT table knows no BIGINT.
MICROS = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
# SQLite's REAL already has 64 bits; elsewhere REAL has 32.
NUMBER: sa.types.TypeEngine[float] = sa.Double().with_variant(sa.REAL(), "sqlite")
# A query finds a partial index only if it repeats these words to the letter.
LIVE = "standing <> 'ended'"
# The same, as a search of the index that begins with the standing.
LIVE_BY_INDEX = "standing IN ('dated', 'paused', 'unknown')"
UNMARKED = f"is_unmarked = 1 AND {LIVE}"
MISSING = "end_kind = 'missing'"
COOLING = "cooling_us IS NOT NULL"
READY = "ready_us IS NOT NULL"


def _text(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text, nullable=False)


def _number(name: str, *, nullable: bool = False) -> sa.Column[int]:
    return sa.Column(name, sa.Integer, nullable=nullable)


def _later(
    name: str, kind: type[sa.Text] | type[sa.Integer], default: str
) -> sa.Column[Any]:
    """A column that a later revision added: old rows need a value for it."""
    return sa.Column(name, kind, server_default=sa.text(repr(default)), nullable=False)


def _offset(name: str) -> sa.Column[Any]:
    """How far a print is moved, in micrometres: no more than 20 mm either way."""
    within = sa.CheckConstraint(f"{name} BETWEEN -20000 AND 20000")
    none = sa.text("'0'")
    return sa.Column(name, sa.Integer, within, server_default=none, nullable=False)


def _key(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text, primary_key=True)


def _kitchen_key() -> sa.Column[str]:
    owner = sa.ForeignKey("kitchen.id")
    return sa.Column("kitchen_id", sa.Text, owner, primary_key=True)


def _micros(name: str, *, nullable: bool = False) -> sa.Column[int]:
    return sa.Column(name, MICROS, nullable=nullable)


kitchen = sa.Table(
    "kitchen",
    metadata,
    _key("id"),
    _text("name"),
    _text("zone_name"),
    _text("guidance"),
    _text("units"),
    _number("day_start_h"),
    _number("lead_h"),
    _text("stock"),
    _text("symbol_base"),
    _number("accepts_unmeasured"),
    _later("is_high_risk", sa.Integer, "0"),
    _later("guidance_text", sa.Text, ""),
    sqlite_strict=True,
)

place = sa.Table(
    "place",
    metadata,
    _kitchen_key(),
    _key("name_key"),
    _number("position"),
    _text("name"),
    _text("state"),
    sqlite_strict=True,
)

printer = sa.Table(
    "printer",
    metadata,
    _kitchen_key(),
    _key("name_key"),
    _text("name"),
    _text("address"),
    _text("stock"),
    _number("is_default"),
    _offset("offset_right_um"),
    _offset("offset_down_um"),
    # Labels of one stock go to one printer, unless another one is named.
    sa.Index(
        *("printer_default", "kitchen_id", "stock"),
        unique=True,
        sqlite_where=sa.text("is_default = 1"),
    ),
    sqlite_strict=True,
)

event = sa.Table(
    "event",
    metadata,
    _kitchen_key(),
    _key("id"),
    _text("kind"),
    _text("subject"),
    _micros("happened_us"),
    _micros("recorded_us"),
    _text("zone"),
    _text("who"),
    _text("device"),
    _text("act"),
    _text("body"),
    sa.Index("event_by_subject", "kitchen_id", "subject", "happened_us"),
    sa.Index("event_by_recording", "kitchen_id", "recorded_us", "id"),
    sa.Index("event_by_act", "kitchen_id", "act", sqlite_where=sa.text("act <> ''")),
    sa.Index(
        "event_correcting",
        "kitchen_id",
        "recorded_us",
        "id",
        sqlite_where=sa.text("kind = 'corrected'"),
    ),
    sa.Index("event_making", "kitchen_id", sqlite_where=sa.text("kind = 'made'")),
    # A code is never reused, not even after its container has ended.
    sa.Index(
        "event_filling_once",
        "kitchen_id",
        "subject",
        unique=True,
        sqlite_where=sa.text("kind = 'filled'"),
    ),
    sqlite_strict=True,
)

food = sa.Table(
    "food",
    metadata,
    _key("kitchen_id"),
    _key("name_key"),
    _text("body"),
    sqlite_strict=True,
)

# Keyed by id: two devices that were offline may both have given out a number.
batch = sa.Table(
    "batch",
    metadata,
    _key("kitchen_id"),
    _key("id"),
    _number("number"),
    _text("food"),
    _micros("made_us"),
    sa.Column("total_g", sa.REAL),
    _text("components"),
    _text("lot"),
    _number("count"),
    sa.Index("batch_by_number", "kitchen_id", "number"),
    sqlite_strict=True,
)

container = sa.Table(
    "container",
    metadata,
    _key("kitchen_id"),
    _key("code"),
    _text("food"),
    _text("food_key"),
    _text("standing"),
    _number("batch_number", nullable=True),
    sa.Column("batch_id", sa.Text),
    _number("index", nullable=True),
    _number("of", nullable=True),
    _text("lot"),
    _text("place"),
    _text("state"),
    sa.Column("mass_g", sa.REAL),
    _micros("made_us", nullable=True),
    _micros("opened_us", nullable=True),
    _micros("last_moment_us", nullable=True),
    sa.Column("last_day", sa.Text),
    sa.Column("best_by", sa.Text),
    _number("days_left", nullable=True),
    _text("binding"),
    _number("is_house_rule"),
    _number("is_unverified"),
    _number("has_hour"),
    _number("is_labelled"),
    _number("is_unmarked"),
    _text("end_kind"),
    _text("end_reason"),
    _micros("ended_us", nullable=True),
    _text("subjects"),
    _later("approval", sa.Text, ""),
    _micros("cooling_us", nullable=True),
    _micros("ready_us", nullable=True),
    sa.Index(
        "container_by_last_moment", "kitchen_id", "standing", "last_moment_us", "code"
    ),
    sa.Index(
        "container_unmarked", "kitchen_id", "code", sqlite_where=sa.text(UNMARKED)
    ),
    sa.Index(
        *("container_missing", "kitchen_id", "ended_us", "code"),
        sqlite_where=sa.text(MISSING),
    ),
    sa.Index(
        *("container_cooling", "kitchen_id", "cooling_us", "code"),
        sqlite_where=sa.text(COOLING),
    ),
    sa.Index(
        *("container_ready", "kitchen_id", "ready_us", "code"),
        sqlite_where=sa.text(READY),
    ),
    sa.Index("container_by_food", "kitchen_id", "food_key"),
    sa.Index("container_by_batch", "kitchen_id", "batch_number"),
    sa.Index("container_by_place", "kitchen_id", "place"),
    sqlite_strict=True,
)

# Which containers to look at again when something happens to a subject.
container_subject = sa.Table(
    "container_subject",
    metadata,
    _key("kitchen_id"),
    _key("subject"),
    _key("code"),
    sa.Index("container_subject_by_code", "kitchen_id", "code"),
    sqlite_strict=True,
)

# What measures: the readings themselves lie in blocks, see below.
sensor = sa.Table(
    "sensor",
    metadata,
    _kitchen_key(),
    _key("id"),
    _text("name_key"),
    _text("name"),
    sa.Column("interval_s", NUMBER),
    _text("note"),
    _number("is_typed"),
    sa.Column("check_every_s", NUMBER),
    sa.Index("sensor_by_name", "kitchen_id", "name_key", unique=True),
    sqlite_strict=True,
)

# Where a sensor was from an instant on; an empty place is nowhere.
sensor_place = sa.Table(
    "sensor_place",
    metadata,
    _key("kitchen_id"),
    _key("sensor_id"),
    sa.Column("since_us", MICROS, primary_key=True),
    _text("place"),
    sqlite_strict=True,
)

# Added on reading from an instant on; raw values are never changed.
sensor_offset = sa.Table(
    "sensor_offset",
    metadata,
    _key("kitchen_id"),
    _key("sensor_id"),
    sa.Column("since_us", MICROS, primary_key=True),
    sa.Column("offset_c", NUMBER, nullable=False),
    _text("method"),
    sa.Column("measured_c", NUMBER),
    sqlite_strict=True,
)

# How far food in a place lags behind its air, where the kitchen said so.
place_lag = sa.Table(
    "place_lag",
    metadata,
    _key("kitchen_id"),
    _key("name_key"),
    sa.Column("lag_s", NUMBER, nullable=False),
    sqlite_strict=True,
)

# Readings of one sensor within one day of UTC, packed (store/blocks.py). No two blocks
# of a sensor hold the same instant.
reading_block = sa.Table(
    "reading_block",
    metadata,
    _key("kitchen_id"),
    _key("sensor_id"),
    sa.Column("started_us", MICROS, primary_key=True),
    _micros("ended_us"),
    _number("count"),
    _micros("recorded_us"),
    _text("who"),
    _text("device"),
    sa.Column("packed", sa.LargeBinary, nullable=False),
    sqlite_strict=True,
)

# A reading that was mistyped: what it should have been, or nothing.
reading_correction = sa.Table(
    "reading_correction",
    metadata,
    _key("kitchen_id"),
    _key("sensor_id"),
    sa.Column("at_us", MICROS, primary_key=True),
    sa.Column("recorded_us", MICROS, primary_key=True),
    sa.Column("temp_c", NUMBER),
    _text("who"),
    _text("reason"),
    sqlite_strict=True,
)

# Which readings devices told, under the id that the device gave: so each counts once.
# `told_us` is when it happened by the device's clock.
told_reading = sa.Table(
    "told_reading",
    metadata,
    _key("kitchen_id"),
    _key("id"),
    _text("place"),
    _micros("told_us"),
    sa.Column("temp_c", NUMBER, nullable=False),
    sqlite_strict=True,
)

# How to read the files of a logger, by what heads them (app/temp_source.py).
logger_source = sa.Table(
    "logger_source",
    metadata,
    _kitchen_key(),
    _key("source"),
    _text("body"),
    sqlite_strict=True,
)

# Recipes as they were written: each change is one more version, and a version without
# a body says that the recipe was taken off the list.
recipe = sa.Table(
    "recipe",
    metadata,
    _kitchen_key(),
    _key("name_key"),
    sa.Column("version", sa.Integer, primary_key=True),
    _text("name"),
    _text("body"),
    _number("is_toml"),
    _micros("added_us"),
    _text("who"),
    sqlite_strict=True,
)

# Which sensor speaks under a topic of a broker, or calls itself so over HTTP; `unit` is
# of what names none itself, empty where everything does.
sensor_topic = sa.Table(
    "sensor_topic",
    metadata,
    _kitchen_key(),
    _key("topic"),
    _text("sensor_id"),
    _text("unit"),
    sqlite_strict=True,
)

# What a client of a broker has to know when it comes back (gateways/in_doubt.py).
listener = sa.Table(
    "listener",
    metadata,
    _kitchen_key(),
    _key("client"),
    _text("body"),
    sqlite_strict=True,
)

# Which proposals the last card of a device showed, in the order of their numbers.
card = sa.Table(
    "card",
    metadata,
    _kitchen_key(),
    _key("device"),
    _micros("shown_us"),
    _text("body"),
    sqlite_strict=True,
)

# Whoever knows the secret of which this is the hash may read the kitchen's calendar.
feed = sa.Table(
    "feed",
    metadata,
    _kitchen_key(),
    _text("token_hash"),
    _micros("made_us"),
    sqlite_strict=True,
)

# What only the page knows: none of it goes into the ledger or an export. `value` is a
# hash, except for the key that marks the page's forms.
secret = sa.Table(
    "secret",
    metadata,
    _kitchen_key(),
    _key("kind"),
    _text("value"),
    sqlite_strict=True,
)

# Who the kitchen is: events bear the handle, so removing a person changes no fact.
person = sa.Table(
    "person",
    metadata,
    _kitchen_key(),
    _key("id"),
    _text("handle_key"),
    _text("handle"),
    _text("role"),
    _text("code_hash"),
    sa.Index("person_by_handle", "kitchen_id", "handle_key", unique=True),
    sqlite_strict=True,
)

# What was paired; `person_id` is empty where everybody shares it, `token_hash` where
# it is a browser, which holds a visit instead.
device = sa.Table(
    "device",
    metadata,
    _kitchen_key(),
    _key("id"),
    _text("name"),
    _text("role"),
    _text("person_id"),
    _text("token_hash"),
    _micros("paired_us"),
    _micros("seen_us"),
    sqlite_strict=True,
)

# A browser that was let in: by the password, or as a paired device.
visit = sa.Table(
    "visit",
    metadata,
    _kitchen_key(),
    _key("token_hash"),
    _text("device_id"),
    _text("person_id"),
    _text("role"),
    _micros("begun_us"),
    _micros("seen_us"),
    _micros("ends_us"),
    sqlite_strict=True,
)

# Pairings that were offered and not taken yet; each works once.
pairing = sa.Table(
    "pairing",
    metadata,
    _kitchen_key(),
    _key("secret_hash"),
    _text("role"),
    _text("person_id"),
    _text("made_by"),
    _micros("ends_us"),
    sqlite_strict=True,
)

# Wrong passwords and codes, counted where a restart does not forget them.
attempt = sa.Table(
    "attempt",
    metadata,
    _kitchen_key(),
    _key("subject"),
    _number("wrong"),
    _micros("last_us"),
    _micros("free_us"),
    sqlite_strict=True,
)

PROJECTIONS = (food, batch, container, container_subject)
