"""IPP messages to bytes and back: RFC 8010, section 3."""

from __future__ import annotations

import struct
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

# Delimiter tags: RFC 8010, table 3.
OPERATION, JOB, END, PRINTER, UNSUPPORTED = 0x01, 0x02, 0x03, 0x04, 0x05
_FIRST_VALUE_TAG = 0x10
# Value tags: RFC 8010, tables 5 to 7.
INTEGER, BOOLEAN, ENUM = 0x21, 0x22, 0x23
RESOLUTION, RANGE = 0x32, 0x33
COLLECTION, END_COLLECTION, MEMBER = 0x34, 0x37, 0x4A
TEXT_WITH_LANGUAGE, NAME_WITH_LANGUAGE = 0x35, 0x36
TEXT, NAME, KEYWORD, URI = 0x41, 0x42, 0x44, 0x45
CHARSET, NATURAL_LANGUAGE, MIME = 0x47, 0x48, 0x49
_OUT_OF_BAND = range(0x10, 0x20)
_STRINGS = range(0x40, 0x60)
_DEEPEST = 8  # collections within collections; printers use three
VERSION = (2, 0)


class IppFormatError(ValueError):
    """Bytes that are not an IPP message."""


@dataclass(frozen=True, slots=True)
class Span:
    """A rangeOfInteger, both ends included."""

    low: int
    high: int


@dataclass(frozen=True, slots=True)
class Resolution:
    """Dots across and along the feed; `unit` 3 is per inch, 4 per centimetre."""

    across: int
    along: int
    unit: int = 3


@dataclass(frozen=True, slots=True)
class Attribute:
    """A name, the tag of its values, and one value or more.

    A collection is a tuple of attributes, an out-of-band value is None, and what has no
    better form stays bytes.
    """

    name: str
    tag: int
    values: tuple[Any, ...]


@dataclass(frozen=True, slots=True)
class Group:
    """Attributes that belong to one thing: the request, a job, a printer."""

    tag: int
    attributes: tuple[Attribute, ...]


@dataclass(frozen=True, slots=True)
class Message:
    """A request or an answer; `code` is the operation, or the status."""

    code: int
    request_id: int
    groups: tuple[Group, ...]
    version: tuple[int, int] = VERSION
    data: bytes = field(default=b"", repr=False)

    def values(self, group: int, name: str) -> tuple[Any, ...]:
        """Every value of the first attribute of that name in groups of that kind."""
        for one in self.attributes(group):
            if one.name == name:
                return tuple(value for value in one.values if value is not None)
        return ()

    def first(self, group: int, name: str, default: Any = None) -> Any:
        """The first value, or `default` where there is none."""
        return next(iter(self.values(group, name)), default)

    def attributes(self, group: int) -> Iterator[Attribute]:
        """All attributes in groups of that kind."""
        return (
            attribute
            for one in self.groups
            if one.tag == group
            for attribute in one.attributes
        )


def member(collection: Sequence[Attribute], name: str) -> Any:
    """The first value of a collection's member, or None."""
    for one in collection:
        if one.name == name and one.values:
            return one.values[0]
    return None


def encode(message: Message) -> bytes:
    """The message's octets, its document last."""
    head = struct.pack(">BBHI", *message.version, message.code, message.request_id)
    parts = [head]
    for group in message.groups:
        parts.append(bytes([group.tag]))
        parts += [_attribute(one) for one in group.attributes]
    return b"".join([*parts, bytes([END]), message.data])


def _attribute(one: Attribute) -> bytes:
    if not one.values:
        raise ValueError(f"attribute {one.name} has no value")
    names = [one.name, *[""] * (len(one.values) - 1)]
    return b"".join(
        _value(one.tag, name, value)
        for name, value in zip(names, one.values, strict=True)
    )


def _value(tag: int, name: str, value: Any) -> bytes:
    if tag == COLLECTION:
        inner = b"".join(_member(one) for one in value)
        return _field(tag, name, b"") + inner + _field(END_COLLECTION, "", b"")
    return _field(tag, name, _octets(tag, value))


def _member(one: Attribute) -> bytes:
    name = _field(MEMBER, "", one.name.encode())
    return name + b"".join(_value(one.tag, "", value) for value in one.values)


def _field(tag: int, name: str, octets: bytes) -> bytes:
    label = name.encode()
    lengths = struct.pack(">BH", tag, len(label)), struct.pack(">H", len(octets))
    return lengths[0] + label + lengths[1] + octets


def _octets(tag: int, value: Any) -> bytes:
    if value is None:
        return b""
    if isinstance(value, bytes):
        return value
    if isinstance(value, str):
        return value.encode()
    if tag == BOOLEAN:
        return bytes([bool(value)])
    if isinstance(value, Span):
        return struct.pack(">ii", value.low, value.high)
    if isinstance(value, Resolution):
        return struct.pack(">iib", value.across, value.along, value.unit)
    return struct.pack(">i", value)


def decode(octets: bytes) -> Message:
    """The message in `octets`; IppFormatError if that is not what they are."""
    if len(octets) < 9:
        raise IppFormatError(f"{len(octets)} octets are no IPP message")
    major, minor, code, request_id = struct.unpack(">BBHI", octets[:8])
    if major not in (1, 2):
        raise IppFormatError(f"IPP version {major}.{minor}")
    reader = _Reader(octets, 8)
    groups = tuple(reader.groups())
    return Message(code, request_id, groups, (major, minor), octets[reader.at :])


@dataclass(slots=True)
class _Reader:
    """Walks over the octets, never past their end."""

    octets: bytes
    at: int

    def groups(self) -> Iterator[Group]:
        """Every group up to the end tag, which must be there."""
        tag = self._byte()
        while tag != END:
            if tag >= _FIRST_VALUE_TAG:
                raise IppFormatError(f"tag {tag:#04x} begins no group")
            attributes: list[Attribute] = []
            while (inner := self._byte()) >= _FIRST_VALUE_TAG:
                self._read_attribute(inner, attributes)
            yield Group(tag, tuple(attributes))
            tag = inner

    def _read_attribute(self, tag: int, attributes: list[Attribute]) -> None:
        """One more attribute, or one more value of the last one."""
        name, octets = self._text(), self._counted()
        value = self._collection(1) if tag == COLLECTION else value_of(tag, octets)
        if name:
            attributes.append(Attribute(name, tag, (value,)))
        elif attributes:
            last = attributes.pop()
            attributes.append(Attribute(last.name, last.tag, (*last.values, value)))
        else:
            raise IppFormatError("a value without a name")

    def _collection(self, depth: int) -> tuple[Attribute, ...]:
        """Members up to the end of this collection."""
        if depth > _DEEPEST:
            raise IppFormatError("collections too deep")
        members: list[Attribute] = []
        name, tag, values = "", 0, list[Any]()
        while True:
            inner = self._byte()
            self._counted()  # names inside a collection are empty
            octets = self._counted()
            if inner in (MEMBER, END_COLLECTION):
                if name and values:
                    members.append(Attribute(name, tag, tuple(values)))
                if inner == END_COLLECTION:
                    return tuple(members)
                name, values = _decoded(octets), []
            elif inner < _FIRST_VALUE_TAG:
                raise IppFormatError("a collection without an end")
            else:
                is_inner = inner == COLLECTION
                tag = inner
                values.append(
                    self._collection(depth + 1) if is_inner else value_of(tag, octets)
                )

    def _byte(self) -> int:
        return self._take(1)[0]

    def _counted(self) -> bytes:
        return self._take(int.from_bytes(self._take(2), "big"))

    def _text(self) -> str:
        return _decoded(self._counted())

    def _take(self, count: int) -> bytes:
        taken = self.octets[self.at : self.at + count]
        if len(taken) < count:
            raise IppFormatError("the message ends too soon")
        self.at += count
        return taken


def value_of(tag: int, octets: bytes) -> Any:
    """The value that `octets` mean under `tag`."""
    try:
        if tag in _OUT_OF_BAND:
            return None
        if tag in (INTEGER, ENUM):
            return struct.unpack(">i", octets)[0]
        if tag == BOOLEAN:
            return bool(struct.unpack(">B", octets)[0])
        if tag == RANGE:
            return Span(*struct.unpack(">ii", octets))
        if tag == RESOLUTION:
            return Resolution(*struct.unpack(">iib", octets))
        if tag in (TEXT_WITH_LANGUAGE, NAME_WITH_LANGUAGE):
            language = int.from_bytes(octets[:2], "big")
            return _decoded(octets[language + 4 :])
    except struct.error as error:
        raise IppFormatError(f"tag {tag:#04x} with {len(octets)} octets") from error
    return _decoded(octets) if tag in _STRINGS else octets


def _decoded(octets: bytes) -> str:
    """Text; a printer's stray bytes are shown, not fatal."""
    return octets.decode("utf-8", errors="replace")
