"""A headless browser driven over a pair of pipes: no port is opened and nothing beside the browser is needed."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

LAUNCH = """
import os, sys
low, high = (os.dup(int(number)) for number in sys.argv[1:3])
while min(low, high) < 5: low, high = os.dup(low), os.dup(high)
os.dup2(low, 3), os.dup2(high, 4)
os.execv(sys.argv[3], sys.argv[3:])
"""
"""Puts the pipes where the browser wants them: it reads commands from descriptor 3 and answers on 4."""
NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")


def browser() -> str | None:
    """The path of a Chromium, or none."""
    return next((path for name in NAMES if (path := shutil.which(name))), None)


class Tab:
    """One page of a headless browser. Every address that it asks for is kept in `asked`."""

    def __init__(self, folder: Path) -> None:
        to_read, self._write = os.pipe()
        self._read, to_write = os.pipe()
        arguments = [
            str(browser()), "--headless", "--no-sandbox", "--disable-gpu", "--remote-debugging-pipe",
            f"--user-data-dir={folder}", "about:blank",
        ]  # fmt: skip
        self._process = subprocess.Popen(
            [sys.executable, "-c", LAUNCH, str(to_read), str(to_write), *arguments],
            pass_fds=(to_read, to_write),
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        os.close(to_read)
        os.close(to_write)
        self._buffer, self._number, self._session = b"", 0, ""
        self.asked: list[str] = []
        self.seen: set[str] = set()
        target = next(t for t in self("Target.getTargets")["targetInfos"] if t["type"] == "page")
        self._session = self("Target.attachToTarget", targetId=target["targetId"], flatten=True)["sessionId"]
        for part in ("Page", "Network", "Accessibility", "Runtime"):
            self(f"{part}.enable")

    def __call__(self, method: str, **parameters: Any) -> Mapping[str, Any]:
        """Send a command and wait for its answer."""
        self._number += 1
        message: dict[str, Any] = {"id": self._number, "method": method, "params": parameters}
        if self._session:
            message["sessionId"] = self._session
        os.write(self._write, json.dumps(message).encode() + b"\0")
        while True:
            answer = self._next()
            if answer.get("id") == self._number:
                assert "error" not in answer, answer
                found: Mapping[str, Any] = answer["result"]
                return found

    def _next(self) -> dict[str, Any]:
        while b"\0" not in self._buffer:
            more = os.read(self._read, 1 << 20)
            assert more, "the browser has gone"
            self._buffer += more
        text, _, self._buffer = self._buffer.partition(b"\0")
        message: dict[str, Any] = json.loads(text)
        if message.get("method") == "Network.requestWillBeSent":
            self.asked.append(message["params"]["request"]["url"])
        self.seen.add(message.get("method", ""))
        return message

    def open(self, path: Path) -> None:
        """Load a file and wait until all of it is there."""
        self.seen.discard("Page.loadEventFired")
        self("Page.navigate", url=path.as_uri())
        while "Page.loadEventFired" not in self.seen:
            self._next()
        self.value("document.fonts.ready.then(() => true)")

    def value(self, script: str) -> Any:
        """What a script gives."""
        answer = self("Runtime.evaluate", expression=script, returnByValue=True, awaitPromise=True)
        assert "exceptionDetails" not in answer, answer
        return answer["result"].get("value")

    def press(self, key: str) -> None:
        """Press a key."""
        for kind in ("keyDown", "keyUp"):
            code = {"Tab": 9, "Enter": 13}[key]
            self(
                "Input.dispatchKeyEvent",
                type=kind,
                key=key,
                code=key,
                windowsVirtualKeyCode=code,
                text="\r" if key == "Enter" else "",
            )

    def close(self) -> None:
        """End the browser that this tab started."""
        self._session = ""
        self("Browser.close")
        self._process.wait(20)
        os.close(self._write)
        os.close(self._read)
