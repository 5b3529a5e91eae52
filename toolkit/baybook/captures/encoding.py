"""Which encoding the bytes of a capture are in, and how they become bytes in which ASCII stands for itself."""

from __future__ import annotations

import codecs
from collections.abc import Callable

from ..errors import InputError

MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32-le"),  # before UTF-16: it starts with the same two bytes
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
WIDE = ("utf-16-le", "utf-16-be", "utf-32-le", "utf-32-be")


def to_ascii_bytes(encoding: str) -> Callable[[bytes], bytes]:
    """A function that turns pieces of the file to UTF-8 where the encoding does not keep ASCII as it is."""
    if encoding not in WIDE:
        return bytes
    decoder = codecs.getincrementaldecoder(encoding)(errors="replace")
    return lambda data: decoder.decode(data).encode("utf-8")


def recognise(head: bytes) -> str:
    """The encoding of bytes without a byte-order mark: UTF-16 by its zero bytes, UTF-8 where valid, else cp1252."""
    even, odd = head[:4096:2], head[1:4096:2]
    if odd.count(0) > 0.6 * len(odd) and even.count(0) < 0.1 * len(even):
        return "utf-16-le"
    if even.count(0) > 0.6 * len(even) and odd.count(0) < 0.1 * len(odd):
        return "utf-16-be"
    try:
        codecs.getincrementaldecoder("utf-8")().decode(head)  # not final: a character may be cut at the end of the head
    except UnicodeDecodeError:
        return "cp1252"
    return "utf-8"


def is_binary(head: bytes) -> bool:
    """Whether control characters are more than a stray. A block of zeros at the end is a logger that lost power."""
    sample = head.rstrip(b"\0")[:8192]
    odd = sum(sample.count(byte) for byte in range(32) if byte not in b"\t\n\v\f\r\x1a")
    return not sample or odd > 0.02 * len(sample)


def chosen(encoding: str | None) -> str:
    """Python's name of the encoding asked for, "" for None. Raises InputError where it is unknown or no text of numbers."""
    if encoding is None:
        return ""
    try:
        name = codecs.lookup(encoding).name
        plain = "0123456789.,;\t".encode(name) == b"0123456789.,;\t"
    except (LookupError, UnicodeError):
        name, plain = "", False
    name = {"utf-16": "utf-16-le", "utf-32": "utf-32-le", "utf-8-sig": "utf-8"}.get(name, name)
    if not plain and name not in WIDE:
        raise InputError.one(
            "encoding", encoding, "is not an encoding that is known", "give utf-8, utf-16, cp1252 or leave it out"
        )
    return name
