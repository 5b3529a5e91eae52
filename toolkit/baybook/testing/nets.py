"""A closed network: while it is, every attempt is noted and refused. An audit hook cannot be taken off, so it stays, idle."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager

EVENTS = frozenset(
    f"socket.{call}"
    for call in ("connect", "bind", "sendto", "sendmsg", "getaddrinfo", "gethostbyname", "gethostbyaddr", "getnameinfo")
)


class _Watch:
    """Where the hook notes: None while nobody watches."""

    attempts: list[str] | None = None
    installed = False


def _hook(event: str, arguments: tuple[object, ...]) -> None:
    if event in EVENTS and _Watch.attempts is not None:
        _Watch.attempts.append(f"calls {event}{tuple(map(str, arguments[-2:]))!r:.60}")
        raise PermissionError("the network is closed while a plugin is checked")


@contextmanager
def closed() -> Iterator[list[str]]:
    """Refuse and list every attempt to reach the network inside the block."""
    if not _Watch.installed:
        sys.addaudithook(_hook)
        _Watch.installed = True
    before, _Watch.attempts = _Watch.attempts, []
    try:
        yield _Watch.attempts
    finally:
        _Watch.attempts = before
