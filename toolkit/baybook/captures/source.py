"""The file as bytes: found, unpacked, its encoding known, and handed out in pieces of whole lines."""

from __future__ import annotations

import codecs
import gzip
import os
import zlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from io import BytesIO
from typing import BinaryIO, cast

from ..errors import InputError

HEAD = 1 << 18  # bytes looked at to recognise the dialect
PIECE = 1 << 20  # bytes handed out at a time: bounds the memory, and larger ones were no faster
LONGEST_LINE = 1 << 24
Progress = Callable[[int, int], None]

_MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32-le"),  # before UTF-16: it starts with the same two bytes
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
_NOT_TEXT = (
    (b"PK\x03\x04", "is a zip archive or a spreadsheet workbook", "unpack it, or save the sheet as CSV"),
    (b"\xd0\xcf\x11\xe0", "is an office document of an old kind", "save the sheet as CSV"),
    (b"%PDF", "is a PDF", "export the recording as CSV"),
)


@dataclass
class Source:
    """An open capture file: `head` is its beginning as bytes in which ASCII stands for itself, `whole` if that is all."""

    name: str
    size: int
    compressed: bool
    encoding: str
    mark: bool  # a byte-order mark was there
    head: bytes
    whole: bool
    stream: BinaryIO = field(repr=False)
    raw: BinaryIO = field(repr=False)
    cut_short: bool = False  # the compressed data ended too early

    def decode(self, line: bytes) -> str:
        """A line of the file as text."""
        return line.decode("utf-8" if self.encoding in _WIDE else self.encoding, errors="replace")

    def pieces(self, on_progress: Progress | None = None) -> Iterator[bytes]:
        """The file from its start, in pieces of any length, wide encodings turned to UTF-8."""
        yield self.head
        decoder = self._decoder
        while data := self._read(PIECE):
            yield decoder(data)
            if on_progress:
                on_progress(min(self.raw.tell(), self.size), self.size)
        if on_progress:
            on_progress(self.size, self.size)

    def _read(self, count: int) -> bytes:
        try:
            return self._unpack(count) if self.compressed else self.stream.read(count)
        except (zlib.error, OSError) as error:
            raise _damaged(self.name) from error

    def _unpack(self, count: int) -> bytes:
        """Up to `count` bytes; what came before a missing end is kept, which a plain read would lose."""
        parts: list[bytes] = []
        try:
            while count > 0 and not self.cut_short and (part := cast(gzip.GzipFile, self.stream).read1(count)):
                parts.append(part)
                count -= len(part)
        except EOFError:
            self.cut_short = True
        return b"".join(parts)

    def start(self) -> None:
        """Read the head and recognise the encoding. Raises InputError for an empty or a binary file."""
        head = self._read(HEAD)
        if self.cut_short and not head:
            raise _damaged(self.name)
        if not head.strip(b"\0 \t\r\n\x1a"):
            raise InputError.one("capture", self.name, "is empty", "give a file with a header and at least one row")
        for magic, why, would_do in _NOT_TEXT:
            if head.startswith(magic):
                raise InputError.one("capture", self.name, why, would_do)
        mark = next((each for each in _MARKS if head.startswith(each[0])), None)
        if mark:
            head, self.mark = head[len(mark[0]):], True
            self.encoding = mark[1] if self.encoding in ("", *_WIDE) else self.encoding
        self.encoding = self.encoding or recognise(head)
        self.whole = len(head) < HEAD - 4
        self._decoder = _to_ascii_bytes(self.encoding)
        self.head = self._decoder(head)
        if _is_binary(self.head):
            raise InputError.one("capture", self.name, "is not text", "export the recording as CSV")

    _decoder: Callable[[bytes], bytes] = field(default=bytes, repr=False)


def _damaged(name: str) -> InputError:
    return InputError.one("capture", name, "is damaged: it cannot be unpacked", "copy it again")


_WIDE = ("utf-16-le", "utf-16-be", "utf-32-le", "utf-32-be")


def _to_ascii_bytes(encoding: str) -> Callable[[bytes], bytes]:
    """A function that turns pieces of the file to UTF-8 where the encoding does not keep ASCII as it is."""
    if encoding not in _WIDE:
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


def _is_binary(head: bytes) -> bool:
    """Whether control characters are more than a stray. A block of zeros at the end is a logger that lost power."""
    sample = head.rstrip(b"\0")[:8192]
    odd = sum(sample.count(byte) for byte in range(32) if byte not in b"\t\n\v\f\r\x1a")
    return not sample or odd > 0.02 * len(sample)


def open_source(path: str | os.PathLike[str], encoding: str | None) -> Source:
    """Open a capture, packed (by its first bytes, not its name) or not. Raises InputError where it cannot be read."""
    name = os.path.basename(os.fspath(path))
    chosen = _known(encoding)
    try:
        raw = cast(BinaryIO, open(path, "rb"))  # noqa: SIM115 - closed by the reader
    except IsADirectoryError as error:
        raise InputError.one("capture", os.fspath(path), "is a folder", "name the file in it") from error
    except OSError as error:
        why = "does not exist" if isinstance(error, FileNotFoundError) else "cannot be opened"
        raise InputError.one("capture", os.fspath(path), why, "check the name and the folder") from error
    compressed = raw.read(2) == b"\x1f\x8b"
    raw.seek(0)
    stream = cast(BinaryIO, gzip.GzipFile(fileobj=raw)) if compressed else raw
    source = Source(name, os.fstat(raw.fileno()).st_size, compressed, chosen, False, b"", False, stream, raw)
    try:
        source.start()
    except BaseException:
        raw.close()
        raise
    return source


def _known(encoding: str | None) -> str:
    if encoding is None:
        return ""
    try:
        name = codecs.lookup(encoding).name
        plain = "0123456789.,;\t".encode(name) == b"0123456789.,;\t"
    except (LookupError, UnicodeError):
        name, plain = "", False
    name = {"utf-16": "utf-16-le", "utf-32": "utf-32-le", "utf-8-sig": "utf-8"}.get(name, name)
    if not plain and name not in _WIDE:
        raise InputError.one("encoding", encoding, "is not an encoding that is known",
                             "give utf-8, utf-16, cp1252 or leave it out")
    return name


def line_end(head: bytes) -> str:
    """How lines end: "CRLF", "LF" or "CR"."""
    if b"\r\n" in head:
        return "CRLF"
    return "CR" if b"\r" in head and b"\n" not in head else "LF"


@dataclass(frozen=True)
class Block:
    """Whole lines, each ended by one LF; `first_line` numbers the first from 1; `cut` if the file ends without a line end."""

    data: bytes
    first_line: int
    cut: bool = False


def blocks(source: Source, skip: int, on_progress: Progress | None = None) -> Iterator[Block]:
    """The lines after the first `skip`, in blocks. Raises InputError for a line that is longer than any capture's."""
    end = b"\r" if line_end(source.head) == "CR" else b"\n"
    rest, number = b"", 1
    for piece in source.pieces(on_progress):
        rest += piece
        cut = rest.rfind(end) + 1
        if cut:
            data, rest = _one_line_end(rest[:cut]), rest[cut:]
            count = data.count(b"\n")
            yield from _after(data, number, count, skip)
            number += count
        elif len(rest) > LONGEST_LINE:
            raise InputError.one("capture", source.name, f"has a line of more than {LONGEST_LINE >> 20} MB",
                                 "export the recording as CSV, one row a line")
    if rest.strip(b"\0\x1a"):
        yield from _after(_one_line_end(rest) + b"\n", number, 1, skip, cut=True)


def _one_line_end(data: bytes) -> bytes:
    return data.replace(b"\r\n", b"\n").replace(b"\r", b"\n") if b"\r" in data else data


def _after(data: bytes, number: int, count: int, skip: int, cut: bool = False) -> Iterator[Block]:
    """The part of `data` after line `skip` of the file."""
    if number + count <= skip + 1:
        return
    if number <= skip:
        data = b"\n".join(data.split(b"\n", skip + 1 - number)[skip + 1 - number:])
        number = skip + 1
    if data:
        yield Block(data, number, cut)


@dataclass(frozen=True)
class Line:
    """A line of text and its number in the file, from 1."""

    number: int
    text: str


def head_as_lines(source: Source, at_most: int | None = None) -> list[Line]:
    """The first whole lines of the head, all of them or `at_most` so many."""
    lines = _one_line_end(source.head).split(b"\n")
    if not source.whole:
        del lines[-1]
    return [Line(number, source.decode(line)) for number, line in enumerate(lines[:at_most], 1)]


def open_bytes(data: bytes) -> BinaryIO:
    """Bytes as a file, for the numerical reader."""
    return BytesIO(data)
