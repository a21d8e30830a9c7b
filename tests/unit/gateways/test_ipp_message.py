"""Messages to octets and back, against RFC 8010 and against whatever comes."""

import struct

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lidclock.gateways import ipp_message as ipp
from lidclock.gateways.ipp_message import (
    Attribute,
    Group,
    IppFormatError,
    Message,
    Resolution,
    Span,
    decode,
    encode,
)

# RFC 8010, appendix A.1, "Print-Job Request": the octets of the table, in its order.
PRINT_JOB_REQUEST = bytes.fromhex(
    "0101 0002 00000001 01"
    "47 0012 617474726962757465732d63686172736574 0005 7574662d38"
    "48 001b 617474726962757465732d6e61747572616c2d6c616e6775616765 0005 656e2d7573"
    "45 000b 7072696e7465722d757269 002c"
    "6970703a2f2f7072696e7465722e6578616d706c652e636f6d2f6970702f7072696e742f"
    "70696e6574726565"
    "42 0008 6a6f622d6e616d65 0006 666f6f626172"
    "22 0016 6970702d6174747269627574652d666964656c697479 0001 01"
    "02"
    "21 0006 636f70696573 0004 00000014"
    "44 0005 7369646573 0013 74776f2d73696465642d6c6f6e672d65646765"
    "03"
)
# RFC 8010, appendix A.2, "Print-Job Response (Successful)".
PRINT_JOB_RESPONSE = bytes.fromhex(
    "0101 0000 00000001 01"
    "47 0012 617474726962757465732d63686172736574 0005 7574662d38"
    "48 001b 617474726962757465732d6e61747572616c2d6c616e6775616765 0005 656e2d7573"
    "41 000e 7374617475732d6d657373616765 000d 7375636365737366756c2d6f6b"
    "02"
    "21 0006 6a6f622d6964 0004 00000093"
    "45 0007 6a6f622d757269 0030"
    "6970703a2f2f7072696e7465722e6578616d706c652e636f6d2f6970702f7072696e742f"
    "70696e65747265652f313437"
    "23 0009 6a6f622d7374617465 0004 00000003"
    "03"
)

PINETREE = "ipp://printer.example.com/ipp/print/pinetree"
OPENING = (
    Attribute("attributes-charset", ipp.CHARSET, ("utf-8",)),
    Attribute("attributes-natural-language", ipp.NATURAL_LANGUAGE, ("en-us",)),
)


def test_the_printing_request_of_the_rfc_is_written_to_the_octet():
    message = Message(
        0x0002,
        1,
        (
            Group(
                ipp.OPERATION,
                (
                    *OPENING,
                    Attribute("printer-uri", ipp.URI, (PINETREE,)),
                    Attribute("job-name", ipp.NAME, ("foobar",)),
                    Attribute("ipp-attribute-fidelity", ipp.BOOLEAN, (True,)),
                ),
            ),
            Group(
                ipp.JOB,
                (
                    Attribute("copies", ipp.INTEGER, (20,)),
                    Attribute("sides", ipp.KEYWORD, ("two-sided-long-edge",)),
                ),
            ),
        ),
        version=(1, 1),
        data=b"%!PDF...",
    )

    assert encode(message) == PRINT_JOB_REQUEST + b"%!PDF..."


def test_the_printing_answer_of_the_rfc_is_read():
    answer = decode(PRINT_JOB_RESPONSE)

    assert answer.version == (1, 1)
    assert answer.code == 0x0000
    assert answer.request_id == 1
    assert answer.first(ipp.OPERATION, "status-message") == "successful-ok"
    assert answer.first(ipp.JOB, "job-id") == 147
    assert answer.first(ipp.JOB, "job-uri") == f"{PINETREE}/147"
    assert answer.first(ipp.JOB, "job-state") == 3


@pytest.mark.parametrize("octets", [PRINT_JOB_REQUEST, PRINT_JOB_RESPONSE])
def test_reading_and_writing_again_changes_nothing(octets):
    assert encode(decode(octets)) == octets


SIZED = bytes.fromhex(
    "0200 0002 00000001 02"
    "34 0009 6d656469612d636f6c 0000"  # media-col
    "4a 0000 000a 6d656469612d73697a65 34 0000 0000"  # media-size
    "4a 0000 000b 782d64696d656e73696f6e 21 0000 0004 000013d8"  # x-dimension
    "4a 0000 000b 792d64696d656e73696f6e 21 0000 0004 000009ec"  # y-dimension
    "37 0000 0000 37 0000 0000 03"
)


def test_a_size_is_a_collection_in_a_collection():
    """RFC 8010, section 3.1.6: member names are values, and so is each end."""
    sides = (
        Attribute("x-dimension", ipp.INTEGER, (5080,)),
        Attribute("y-dimension", ipp.INTEGER, (2540,)),
    )
    size = Attribute("media-size", ipp.COLLECTION, (sides,))
    column = Attribute("media-col", ipp.COLLECTION, ((size,),))

    assert encode(Message(2, 1, (Group(ipp.JOB, (column,)),))) == SIZED


def test_several_values_share_a_name():
    wanted = Attribute("requested-attributes", ipp.KEYWORD, ("job-id", "job-name"))
    octets = encode(Message(0x000A, 123, (Group(ipp.OPERATION, (wanted,)),)))

    assert decode(octets).values(ipp.OPERATION, "requested-attributes") == (
        "job-id",
        "job-name",
    )
    assert octets.count(b"requested-attributes") == 1


def test_what_has_no_value_is_missing():
    octets = bytes.fromhex("0200 0000 00000001 02 10 0001 78 0000 03")

    assert decode(octets).first(ipp.JOB, "x", "nothing") == "nothing"


def test_text_may_come_with_its_language():
    octets = bytes.fromhex("0200 0000 00000001 01 35 0001 78 000a")
    octets += struct.pack(">H2sH4s", 2, b"de", 4, b"Fach") + b"\x03"

    assert decode(octets).first(ipp.OPERATION, "x") == "Fach"


def test_an_attribute_without_a_value_is_a_mistake_of_ours():
    with pytest.raises(ValueError, match="attribute sides has no value"):
        encode(Message(2, 1, (Group(ipp.JOB, (Attribute("sides", 0x44, ()),)),)))


@pytest.mark.parametrize(
    "octets",
    [
        b"",
        b"HTTP/1.0",
        bytes.fromhex("0300 0000 00000001 03"),
        bytes.fromhex("0200 0000 00000001"),
        bytes.fromhex("0200 0000 00000001 02"),
        bytes.fromhex("0200 0000 00000001 02 44 0005 7369"),
        bytes.fromhex("0200 0000 00000001 02 44 0000 0001 78 03"),
        bytes.fromhex("0200 0000 00000001 44 0001 78 0001 78 03"),
        bytes.fromhex("0200 0000 00000001 02 21 0001 78 0003 000001 03"),
        bytes.fromhex("0200 0000 00000001 02 34 0001 78 0000 03"),
        bytes.fromhex("0200 0000 00000001 02" + "34 0001 78 0000" * 40),
        bytes.fromhex("0200 0000 00000001 02 34 0001 78 0000" + "34 0000 0000" * 40),
    ],
)
def test_octets_that_are_no_message_are_said_to_be_none(octets):
    with pytest.raises(IppFormatError):
        decode(octets)


VALUES = {
    ipp.INTEGER: st.integers(-(2**31), 2**31 - 1),
    ipp.BOOLEAN: st.booleans(),
    ipp.KEYWORD: st.text("abc-é", max_size=5),
    ipp.RANGE: st.builds(Span, *[st.integers(0, 2**31 - 1)] * 2),
    ipp.RESOLUTION: st.builds(Resolution, *[st.integers(1, 2400)] * 2),
}
NAMES = st.text("abc-", min_size=1, max_size=5)
PLAIN = st.one_of(
    st.builds(Attribute, NAMES, st.just(tag), st.tuples(values))
    for tag, values in VALUES.items()
)
COLLECTIONS = st.builds(
    Attribute, NAMES, st.just(ipp.COLLECTION), st.tuples(st.tuples(PLAIN, PLAIN))
)
GROUPS = st.builds(
    Group,
    st.sampled_from([ipp.OPERATION, ipp.JOB, ipp.PRINTER, ipp.UNSUPPORTED]),
    st.lists(PLAIN | COLLECTIONS, max_size=3).map(tuple),
)


@settings(max_examples=300)
@given(st.lists(GROUPS, max_size=2).map(tuple), st.binary(max_size=9))
def test_every_message_comes_back(groups, document):
    message = Message(2, 1, groups, data=document)

    assert decode(encode(message)) == message


WHOLE = [PRINT_JOB_REQUEST, PRINT_JOB_RESPONSE, SIZED]
SLIPS = st.lists(st.tuples(st.integers(0, 400), st.integers(0, 255)), max_size=3)


@settings(max_examples=300)
@given(st.sampled_from(WHOLE), SLIPS, st.integers(0, 400))
def test_an_altered_or_torn_message_is_read_or_refused_and_nothing_else(
    octets, slips, end
):
    torn = bytearray(octets)
    for at, octet in slips:
        torn[at % len(torn)] = octet
    try:
        found = decode(bytes(torn[:end]))
    except IppFormatError:
        return

    assert isinstance(found, Message)
