"""Run the README's commands and write what they print below them; `--check` only compares.

A console block's first line is `$ baybook …`; it is run by a shell in the project's folder.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[1]
BLOCK = re.compile(r"```console\n\$ (?P<command>[^\n]+)\n(?P<output>.*?)```", re.DOTALL)


def main(arguments: list[str]) -> int:
    """Refresh or check; returns 1 where the README shows something else than the commands print."""
    readme = ROOT / "README.md"
    text = readme.read_text(encoding="utf-8")
    fresh = BLOCK.sub(lambda block: f"```console\n$ {block['command']}\n{printed(block['command'])}```", text)
    if "--check" in arguments:
        return 0 if fresh == text else 1
    readme.write_text(fresh, encoding="utf-8")
    return 0


def printed(command: str) -> str:
    """What the command prints, errors too."""
    path = f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"
    done = subprocess.run(
        command, shell=True, cwd=ROOT, text=True, encoding="utf-8", check=False, env={**os.environ, "PATH": path},
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
    )  # fmt: skip
    return "\n".join(line.rstrip() for line in done.stdout.splitlines()) + "\n"


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
