"""Files whose dates or thousands could be read in two ways."""

from __future__ import annotations

from datetime import datetime, timedelta

from .made import COUNT, A, B, Case, case_of, evenly, floats, times


def dates() -> list[Case]:
    hour = timedelta(hours=1)
    plot = '"Plot title: mill"\n"No.","Date Time, GMT+02:00","Temp, °C","Light"\n'
    count = 119

    def hourly(form: str, start: datetime, rows: int = count) -> str:
        return plot + "".join(
            f"{n + 1},{t},{A[n % COUNT]},{B[n % COUNT]}\n" for n, t in enumerate(times(hour, form, rows, start))
        )

    def case(name: str, form: str, start: datetime, rows: int = count, **more: object) -> Case:
        values = {"a": [float(A[n % COUNT]) for n in range(rows)], "b": [float(B[n % COUNT]) for n in range(rows)]}
        return case_of(name, hourly(form, start, rows), evenly(3600.0, rows), "column 3", "column 4", values=values, **more)

    first = datetime(2022, 8, 1, 0, 23, 41)
    return [
        case("dotted, month first, no day above 12", "%m.%d.%y %I:%M:%S %p", first),
        case("dotted, day first, no day above 12", "%d.%m.%y %H:%M:%S", first),
        case("dotted, month first, over a month", "%m.%d.%y %I:%M:%S %p", datetime(2022, 7, 26), 900),
        case("slashes, month first, two days at a month's end", "%m/%d/%y %I:%M:%S %p", datetime(2021, 9, 30), 48),
        case("slashes, month first, months", "%m/%d/%y %I:%M:%S %p", datetime(2021, 7, 30), 1603),
        case("slashes, day first, over a month's end", "%d/%m/%Y %H:%M:%S", datetime(2024, 8, 31, 20), 9),
        case("slashes, month first, from the 12th to the 13th", "%m/%d/%Y %H:%M:%S", datetime(2024, 9, 12, 20), 9),
        case("slashes, day first, from the 12th to the 13th", "%d/%m/%Y %H:%M:%S", datetime(2024, 9, 12, 20), 9),
        case("year first of two figures", "%y-%m-%d %H:%M:%S", datetime(2008, 1, 2)),
        case("ISO with Z", "%Y-%m-%dT%H:%M:%SZ", datetime(2024, 2, 27)),
        case("ISO with slashes", "%Y/%m/%d %H:%M", datetime(2024, 2, 27)),
    ]


def thousands() -> list[Case]:
    def dotted(n: int) -> str:
        return f"{n:,}".replace(",", ".") + (".000" if n else "0.000"[1:])

    ms = list(range(0, 151_000, 100))
    stamp = ["0.000" if n == 0 else f"{n * 1000:,}".replace(",", ".") for n in ms]
    a = [f"3.{600 + n % 300}" for n in range(len(ms))]
    return [
        Case(
            "thousands with points",
            "".join(f"{t};{x};7.315\n" for t, x in zip(stamp, a, strict=True)),
            [float(n) for n in ms],
            {"a": [float(x.replace(".", "")) for x in a]},
            {"t": "column 1", "a": "column 2"},
            {"t": "ms"},
        ),
        Case(
            "thousands with commas, in quotes",
            "Time [ms],A\n" + "".join(f'"{t.replace(".", ",")}",{x}\n' for t, x in zip(stamp, A * 40, strict=False)),
            [float(n) for n in ms],
            {"a": floats((A * 40)[: len(ms)])},
            {"a": "A"},
        ),
    ]
