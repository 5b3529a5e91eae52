"""The file as bytes: found, unpacked, its encoding known, and handed out in pieces of whole lines."""

from __future__ import annotations

import gzip
import os
import stat
import zlib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import BinaryIO, cast

from ..dataclass import dataclass, field
from ..errors import InputError
from . import encoding as encodings

HEAD = 1 << 18  # bytes looked at to recognise the dialect
PIECE = 1 << 20  # bytes handed out at a time: bounds the memory, and larger ones were no faster
Progress = Callable[[int, int], None]

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
        return line.decode("utf-8" if self.encoding in encodings.WIDE else self.encoding, errors="replace")

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
        for magic, why, hint in _NOT_TEXT:
            if head.startswith(magic):
                raise InputError.one("capture", self.name, why, hint)
        mark = next((each for each in encodings.MARKS if head.startswith(each[0])), None)
        if mark:
            head, self.mark = head[len(mark[0]) :], True
            self.encoding = mark[1] if self.encoding in ("", *encodings.WIDE) else self.encoding
        self.encoding = self.encoding or encodings.recognise(head)
        self.whole = len(head) < HEAD - 4
        self._decoder = encodings.to_ascii_bytes(self.encoding)
        self.head = self._decoder(head)
        if encodings.is_binary(self.head):
            raise InputError.one("capture", self.name, "is not text", "export the recording as CSV")

    _decoder: Callable[[bytes], bytes] = field(default=bytes, repr=False)


def _damaged(name: str) -> InputError:
    return InputError.one("capture", name, "is damaged: it cannot be unpacked", "copy it again")


def open_source(path: str | os.PathLike[str], encoding: str | None) -> Source:
    """Open a capture, packed (by its first bytes, not its name) or not. Raises InputError where it cannot be read."""
    name = os.path.basename(os.fspath(path))
    chosen = encodings.chosen(encoding)
    if not _may_be_file(path):
        raise InputError.one("capture", Path(path), "is not a file: it may have no end", "save the recording to a file")
    try:
        raw = cast(BinaryIO, open(path, "rb"))  # noqa: SIM115 - closed by the reader
    except IsADirectoryError as error:
        raise InputError.one("capture", Path(path), "is a folder", "name the file in it") from error
    except (OSError, ValueError) as error:  # a NUL in the name
        why = "does not exist" if isinstance(error, FileNotFoundError) else "cannot be opened"
        raise InputError.one("capture", Path(path), why, "check the name and the folder") from error
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


def _may_be_file(path: str | os.PathLike[str]) -> bool:
    """Whether this is a file, a folder or nothing: a pipe or a device would be waited for, or read for ever."""
    try:
        mode = os.stat(path).st_mode
    except (OSError, ValueError):
        return True  # opening it says what is wrong
    return stat.S_ISREG(mode) or stat.S_ISDIR(mode)


def line_end(head: bytes) -> str:
    """How lines end: "CRLF", "LF" or "CR"."""
    if b"\r\n" in head:
        return "CRLF"
    return "CR" if b"\r" in head and b"\n" not in head else "LF"


def one_line_end(data: bytes) -> bytes:
    """The same lines, each ended by one LF."""
    return data.replace(b"\r\n", b"\n").replace(b"\r", b"\n") if b"\r" in data else data


@dataclass(frozen=True)
class Line:
    """A line of text and its number in the file, from 1."""

    number: int
    text: str


def head_as_lines(source: Source, at_most: int | None = None) -> list[Line]:
    """The first whole lines of the head, all of them or `at_most` so many."""
    lines = one_line_end(source.head).split(b"\n")
    if not source.whole:
        del lines[-1]
    return [Line(number, source.decode(line)) for number, line in enumerate(lines[:at_most], 1)]
