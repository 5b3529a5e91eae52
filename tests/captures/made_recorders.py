"""Files as bench, water, weather and power recorders and hobby boards write them."""

from __future__ import annotations

from datetime import timedelta

from .made import COUNT, NAN, STEPS, A, B, Case, S, T, case_of, evenly, floats, table, times


def padded(line: str, width: int = 20) -> str:
    return line + ";" * (width - 1 - line.count(";")) + "\n"


def recorders() -> list[Case]:
    config = "".join(padded(f"{101 + n};{n};Temp (Type K);None;C;;FALSE;1;0;C;Off;0;1;Alarm 1") for n in range(16))
    scan = [f"{t}:{n % 1000:03d}" for n, t in enumerate(times(timedelta(seconds=2), "%m/%d/%Y %H:%M:%S"))]
    scan_time = [2.0 * n + n % 1000 / 1000 for n in range(COUNT)]
    scans = "".join(padded(f"{n + 1};{scan[n]};{A[n]};0;{B[n]};0") for n in range(COUNT))
    bi = (
        padded("Name;bench")
        + padded("Acquisition;Fennimore")
        + padded("Channel;Name;Function;Range;Resolution;Adv;Scale;Gain;Offset;Label;Test;Low;High;HWAlarm")
        + config
        + padded("")
        + padded("Scan;Time;101 <00> (C);Alarm 101;103 <02> (C);Alarm 103")
        + scans
    )
    marked = ["#-1" if n % 5 == 3 else b for n, b in enumerate(B)]
    rest = ["#-1"] * COUNT
    minutes = timedelta(minutes=10)
    own = times(timedelta(seconds=5), "%Y-%m-%d %H:%M:%S")
    per_line = "".join(f"{t} {a} bar {b} V\n" for t, a, b in zip(STEPS, A, B, strict=True))
    return [
        case_of("a list of channels above the scans, all padded", bi, scan_time, "column 3", "column 5"),
        case_of(
            "dashes and words among the rows",
            "date,time,minutes,activity_index,avg_freq,max\n"
            + table(times(minutes, "%m/%d/%Y"), times(minutes, "%H:%M"), ["--------+-", *["-" * 10] * (COUNT - 1)], A, B, B),
            evenly(600.0),
            "column 4",
            "column 5",
        ),
        case_of(
            "a date and a clock in columns of their own",
            "Zeit\tDatum\tA\tB\n"
            + table(times(timedelta(hours=5), "%H:%M:%S"), times(timedelta(hours=5), "%d.%m.%Y"), A, B, sep="\t"),
            evenly(18000.0),
            "column 3",
            "column 4",
        ),
        case_of(
            "cells of #-1",
            "Datum;Zeit;A;B;C;D;E;F\n"
            + table(
                times(timedelta(seconds=5), "%d.%m.%y"),
                times(timedelta(seconds=5), "%H:%M:%S"),
                A,
                marked,
                rest,
                rest,
                rest,
                rest,
                sep=";",
            ),
            evenly(5.0),
            "column 3",
            "column 4",
            values={"a": floats(A), "b": [NAN if b == "#-1" else float(b) for b in marked]},
        ),
        case_of(
            "more words than numbers",
            "stamp,A,state,mode,note,unit,day,clock,sent\n"
            + table(
                own,
                A,
                ["NG"] * COUNT,
                ["auto"] * COUNT,
                ["x"] * COUNT,
                ["l"] * COUNT,
                [t[:10] for t in own],
                [t[11:] for t in own],
                ["pending"] * COUNT,
            ),
            evenly(5.0),
            b="",
            columns=T,
        ),
        case_of(
            "days before the clock",
            "Elapsed,A,B\n"
            + table([f"{n // 96} days {n // 4 % 24:02d}:{n % 4 * 15:02d}:00" for n in range(80, 80 + COUNT)], A, B),
            evenly(900.0),
        ),
        case_of("minutes without seconds", "Time,A,B\n" + table(times(minutes, "%Y-%m-%d %H:%M"), A, B), evenly(600.0)),
        case_of(
            "bracketed units under the labels",
            "\\# c1 c2 c3\n\\#  [s] [m3/h] [bits]\n" + table([f"{n:>4}" for n in range(COUNT)], STEPS, A, B, sep="  "),
            S,
            "column 3",
            "column 4",
            columns={"t": "column 2"},
        )
        if False
        else case_of("bracketed units under the labels", "t  c1  c2\n[s]  [m3/h]  [bits]\n" + table(STEPS, A, B, sep="  "), S),
        case_of("a unit in every line", per_line, S, "column 2", "column 4", columns=T, units={"t": "s"}),
        case_of(
            "byte-order mark, semicolons, decimal commas",
            "\ufeffZeit [s];Druck [bar];B\n" + table(STEPS, A, B, sep=";").replace(".", ","),
            S,
        ),
        case_of(
            "cp1252",
            "Zeit (s);Öldruck (bar);Kühlung (°C)\n" + table(STEPS, A, B, sep=";").replace(".", ","),
            S,
            encoding="cp1252",
        ),
        case_of(
            "1.#QNAN",
            "Time [s],A,B\n" + table(STEPS, ["1.#QNAN", *A[1:]], B),
            S,
            values={"a": [NAN, *floats(A[1:])], "b": floats(B)},
        ),
        case_of(
            "empty first and last columns",
            ",Time [s],A,B,\n" + table([""] * COUNT, STEPS, A, B, [""] * COUNT),
            S,
            "column 3",
            "column 4",
        ),
        case_of(
            "the table begins twice",
            "Time [s],A,B\n" + table(STEPS[:3], A[:3], B[:3]) + "Time [s],A,B\n" + table(STEPS[3:], A[3:], B[3:]),
            S,
        ),
        case_of(
            "narrower rows before wider ones",
            "Time [s],A,B\n" + table(STEPS[:9], A[:9]) + table(STEPS[9:], A[9:], B[9:]),
            [t - S[9] for t in S[9:]],
            values={"a": floats(A[9:]), "b": floats(B[9:])},
        ),
        case_of(
            "a line begun with zero bytes",
            "Time [s],A,B\n" + table(STEPS[:20], A[:20], B[:20]) + "\0\0\0\0junk\n" + table(STEPS[20:], A[20:], B[20:]),
            S,
        ),
        case_of(
            "a clock with milliseconds after a colon",
            "Time,A,B\n"
            + table([f"{t}:{n * 7 % 1000:03d}" for n, t in enumerate(times(timedelta(seconds=1), "%H:%M:%S"))], A, B),
            [n + n * 7 % 1000 / 1000 for n in range(COUNT)],
        ),
        case_of("a time in its own language", "Tijd (s),Druk,Stroom\n" + table(STEPS, A, B), S),
        case_of("millis", "millis,A,B\n" + table([str(n * 20) for n in range(COUNT)], A, B), S),
        case_of("no unit but in brackets", "Aeg (ms),A,B\n" + table([str(n * 20) for n in range(COUNT)], A, B), S),
        case_of(
            "a conductivity beside the time",
            "Sample,Cond (µS),Elapsed (s),B\n" + table([str(n) for n in range(COUNT)], A, STEPS, B),
            S,
            "column 2",
            "column 4",
        ),
        case_of(
            "a clock too coarse, with the rate told",
            "Time,A,B\n" + table([t for t in times(timedelta(seconds=1), "%H:%M:%S", 10) for _ in range(4)], A, B),
            evenly(0.25),
            rate=4.0,
        ),
        case_of(
            "two times, one of them chosen",
            "Time,mm:ss.f,A,B\n" + table(times(timedelta(minutes=3), "%H:%M:%S"), times(timedelta(minutes=3), "%M:%S.0"), A, B),
            evenly(180.0),
            "column 3",
            "column 4",
            columns=T,
        ),
        case_of(
            "minutes and seconds that begin again at the hour",
            "Clock,A,B\n" + table(times(timedelta(minutes=3), "%M:%S.0"), A, B),
            evenly(180.0),
        ),
    ]
