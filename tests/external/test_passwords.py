"""Published values about passwords: RFC 7914, NIST SP 800-63B.

RFC 7914 (Percival, Josefsson, August 2016), section 12, gives scrypt of
"pleaseletmein" with salt "SodiumChloride", N = 16384, r = 8, p = 1 in 64 octets; the
first 32 are what 32 would be, since PBKDF2 (RFC 8018, 5.2) makes them block by block of
32. From memory.
NIST SP 800-63B (2017, updated 2020), 5.2.2: no more than 100 failed tries in a row;
5.1.1.2: at least 8 characters, 64 and more allowed. Seen in secondary sources.
"""

import base64
from datetime import timedelta

from lidclock.app.attempts import wait_after
from lidclock.app.passwords import LONGEST, SHORTEST, is_right

KEY = bytes.fromhex("7023bdcb3afd7348461c06cd81fd38ebfda8fbba904f8e3ea9b543f6545da1f2")


def _kept(key: bytes) -> str:
    salt, octets = (base64.b64encode(one).decode() for one in (b"SodiumChloride", key))
    return f"scrypt$14$8$1${salt}${octets}"


def test_the_published_key_is_that_of_the_published_password():
    assert is_right("pleaseletmein", _kept(KEY))


def test_no_other_key_is():
    assert not is_right("pleaseletmein", _kept(KEY[::-1]))


def test_a_hundred_wrong_tries_in_a_row_take_a_month():
    waited = sum((wait_after(wrong) for wrong in range(1, 100)), timedelta())

    assert waited > timedelta(days=28)


def test_passwords_are_as_long_as_they_should_be():
    assert SHORTEST >= 8
    assert LONGEST >= 64
