"""What reading a capture costs against numpy's own bare read of the same numbers, and how much memory it takes.

Run: python tests/benchmarks/bench_captures.py [rows]. Each figure is the best of several turns, taken in turn with the bare
read, in processor time, so that other work on the machine shows little. "Bare" is `numpy.loadtxt` on the file, told the
dialect and the columns; where loadtxt cannot read a dialect (decimal comma, dirty cells), on the clean file of the same rows.
"""

from __future__ import annotations

import gzip
import sys
import tempfile
import time
import tracemalloc
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np

from baybook.captures import read_capture

TURNS = 5
COLUMNS = {"rail": "Rail", "coolant": "T", "marker": "M"}


def plain_rows(count: int) -> Iterator[str]:
    random = np.random.default_rng(1)
    rail = 100 - np.linspace(0, 10, count) + random.normal(0, 0.1, count)
    coolant = 48 + random.normal(0, 0.2, count)
    return (f"{row / 1000:.4f},{p:.3f},{c:.1f},0.0" for row, (p, c) in enumerate(zip(rail, coolant, strict=True)))


def dirty_rows(count: int) -> Iterator[str]:
    """2 % n/a, 1 % empty, 1 % over range, 0.2 % remarks, 0.1 % short lines, 0.01 % broken numbers."""
    chance = np.random.default_rng(2).random(count)
    for draw, row in zip(chance, plain_rows(count), strict=True):
        time_, rail, rest = row.split(",", 2)
        if draw < 0.001:
            yield f"{time_},{rail}"
        elif draw < 0.003:
            yield "# remark"
        elif draw < 0.0431:
            yield f"{time_},{_fault(draw)},{rest}"
        else:
            yield row


def _fault(draw: float) -> str:
    return "n/a" if draw < 0.023 else "" if draw < 0.033 else "OL" if draw < 0.043 else "1.2.3"


def mixed_rows(count: int) -> Iterator[str]:
    """Numbers with as many decimals as they need, so that no column has equally many."""
    for row in plain_rows(count):
        yield ",".join(f"{float(cell):g}" for cell in row.split(","))


def mixed_dirty_rows(count: int) -> Iterator[str]:
    """As the dirty ones, in a file of mixed decimals."""
    chance = np.random.default_rng(2).random(count)
    for draw, row in zip(chance, mixed_rows(count), strict=True):
        time_, _, rest = row.split(",", 2)
        yield f"{time_},{_fault(draw)},{rest}" if draw < 0.0431 else row


def clock_rows(count: int) -> Iterator[str]:
    for row, text in enumerate(plain_rows(count)):
        seconds, ms = divmod(row, 1000)
        yield f"{10 + seconds // 3600:02d}:{seconds // 60 % 60:02d}:{seconds % 60:02d}.{ms:03d},{text.split(',', 1)[1]}"


def to_decimal_comma(row: str) -> str:
    return row.replace(",", ";").replace(".", ",")


def write_files(folder: Path, count: int) -> dict[str, tuple[Path, Path]]:
    """Each dialect's file and the file that the bare read takes."""
    header = "Time [s],Rail [MPa],T [°C],M"

    def write(name: str, rows: Iterator[str], head: str = header, encoding: str = "utf-8", end: str = "\n") -> Path:
        path = folder / name
        with path.open("w", encoding=encoding, newline="") as file:
            file.write(head + end)
            file.writelines(row + end for row in rows)
        return path

    clean = write("clean.csv", plain_rows(count))
    comma = write("comma.csv", map(to_decimal_comma, plain_rows(count)), header.replace(",", ";"), end="\r\n")
    narrow = write("narrow.csv", (",".join(row.split(",")[:2]) for row in plain_rows(count)), "Time [s],Rail [MPa]")
    packed = folder / "clean.csv.gz"
    packed.write_bytes(gzip.compress(clean.read_bytes(), 6))
    mixed = write("mixed.csv", mixed_rows(count))
    return {
        "clean": (clean, clean),
        "clean, two columns": (narrow, narrow),
        "decimal comma, CRLF": (comma, clean),
        "dirty": (write("dirty.csv", dirty_rows(count)), clean),
        "mixed decimals": (mixed, mixed),
        "mixed decimals, dirty": (write("mixed_dirty.csv", mixed_dirty_rows(count)), mixed),
        "clock times": (write("clock.csv", clock_rows(count), header.replace(" [s]", "")), clean),
        "UTF-16": (write("wide.csv", plain_rows(count), encoding="utf-16"), clean),
        "gzip": (packed, packed),
    }


def processor_time(work: Callable[[], object]) -> float:
    start = time.process_time()
    work()
    return time.process_time() - start


def peak_megabytes(work: Callable[[], object]) -> float:
    tracemalloc.start()
    kept = work()
    peak = tracemalloc.get_traced_memory()[1] / 1e6
    tracemalloc.stop()
    del kept
    return peak


def main(count: int) -> None:
    print(f"{count} rows\n{'file':<22}{'size MB':>9}{'bare s':>9}{'capture s':>11}{'ratio':>7}{'bare MB':>9}{'capture MB':>12}")
    with tempfile.TemporaryDirectory() as folder:
        for name, (path, bare_path) in write_files(Path(folder), count).items():
            columns = {"rail": "Rail"} if "two" in name else COLUMNS

            def bare(path: Path = bare_path) -> object:
                return np.loadtxt(path, delimiter=",", skiprows=1, encoding="utf-8")

            def capture(path: Path = path, columns: dict[str, str] = columns) -> object:
                return read_capture(path, columns)

            turns = [(processor_time(bare), processor_time(capture)) for _ in range(TURNS)]
            bare_s, capture_s = (min(each) for each in zip(*turns, strict=True))
            print(
                f"{name:<22}{path.stat().st_size / 1e6:9.1f}{bare_s:9.2f}{capture_s:11.2f}{capture_s / bare_s:7.2f}"
                f"{peak_megabytes(bare):9.0f}{peak_megabytes(capture):12.0f}"
            )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000)
