"""Files as oscilloscopes and programs for data acquisition write them."""

from __future__ import annotations

from .made import COUNT, NAN, STEPS, A, B, Case, S, case_of, evenly, floats, table


def scopes() -> list[Case]:
    start, inc = "-3.92000e-03", "2.00000e-05"
    counted = [each * 2e-5 for each in range(COUNT)]
    left = [
        "Record Length,40",
        "Sample Interval,0.02",
        "Trigger Point,4",
        "Source,CH1",
        "Vertical Units,V",
        "Horizontal Units,s",
    ]
    left_rows = "".join(f"{(left[each] if each < 6 else ',')},,{STEPS[each]},{A[each]},\n" for each in range(COUNT))
    above = (
        "Model,Fennimore 4\nRecord Length,40\nSample Interval,2.0E-02\nHorizontal Units,S\nVertical Units,V\n"
        "Horizontal Scale,0.1\nProbe,10\n\n"
    )
    words = "\n".join(f"{key},{value}" for key, value in [*((f"Setting {n}", n * 3.5) for n in range(70)), ("Mode", "roll")])
    return [
        case_of(
            "labels name start and increment, the second line holds them",
            f"CH1,CH2,Start,Increment,\nVolt,Volt,{start},{inc}\n" + table(A, B, end=","),
            counted,
            "column 1",
            "column 2",
        ),
        case_of(
            "one channel with start and increment",
            f"CH1,Start,Increment,\nVolt,{start},{inc}\n" + table(A, end=","),
            counted,
            "column 1",
            "",
        ),
        case_of(
            "a sequence with start and increment",
            "X,CH1,CH2,Start,Increment,\nSequence,Volt,Volt,-1.060000e-05,2.000000e-09\n"
            + table([str(n) for n in range(COUNT)], A, B, end=","),
            [n * 2e-9 for n in range(COUNT)],
        ),
        case_of(
            "the line of start and increment taken out",
            "CH1,CH2,Start,Increment,\n" + table(A, B, end=","),
            evenly(0.01),
            "column 1",
            "column 2",
            rate=100.0,
        ),
        case_of("numbered labels over units in words", "x-axis,1,2\nsecond,Volt,Volt\n" + table(STEPS, A, B), S),
        case_of("a source over units in words", "Source,CH1\nSecond,Volt\n" + table(STEPS, A), S, b=""),
        case_of("units in the preamble", above + "TIME,CH1\n" + table(STEPS, A), S, b=""),
        case_of("units in the preamble, no labels", above + table(STEPS, A), S, b=""),
        case_of("a preamble in columns to the left of the rows", left_rows, S, "column 5", ""),
        case_of("a preamble of 71 lines", words + "\n\nTime (s),P (bar),Q (V)\n" + table(STEPS, A, B), S),
        case_of(
            "only values, the interval above them",
            "Sample Interval: 4 ms\nRecord Length: 40\nCH1,CH2\n" + table(A, B),
            evenly(0.004),
            "column 1",
            "column 2",
        ),
        case_of("engineering notation", "Time,A,B\ns,V,V\n" + table([f"+{float(t) * 1000:.5f}E-03" for t in STEPS], A, B), S),
        case_of(
            "quoted labels and a comment preamble", '# Fennimore log\n# rate 50\n"Time (s)","A","B"\n' + table(STEPS, A, B), S
        ),
        case_of(
            "over range as 9.9E+37, in UTF-16",
            "Time [s]\tA\tB\n" + table(STEPS, ["-9.9E+37", *A[1:]], B, sep="\t"),
            S,
            encoding="utf-16",
            values={"a": [NAN, *floats(A[1:])], "b": floats(B)},
        ),
        case_of("nanoseconds", "time_us,A,B\n" + table([f"{n * 20}.125" for n in range(COUNT)], A, B), evenly(2e-5)),
    ]


def acquisition() -> list[Case]:
    head = "Fennimore Measurement\t\nSeparator\tTab\nDecimal_Separator\t.\n"
    head += "X_Columns\t{x}\nTime_Pref\tAbsolute\n***End_of_Header***\t\n\n"
    block = (
        "Channels\t3\t\t\t\nSamples\t40\t40\t40\t\nDate\t2024/07/26\t2024/07/26\t2024/07/26\nX_Dimension\tTime\tTime\tTime\t\n"
    )
    block += "X0\t0.0000E+0\t0.0000E+0\t0.0000E+0\t\nDelta_X\t0.020000\t0.020000\t0.020000\t\n***End_of_Header***\t\t\t\t\n"
    labels = "X_Value\tDev0/Ai0\tDev0/Ai2\tDev0/Ai0 1\tComment\n"
    rows = table(STEPS, A, B, A, sep="\t")
    pairs = "X_Value\tP\tX_Value\tQ\tComment\n"
    short = table(STEPS[:7], A[:7], B[:7], A[:7], sep="\t")
    return [
        case_of("a column of times, labels end in Comment", head.format(x="One") + block + labels + rows, S),
        case_of(
            "seven rows of it",
            head.format(x="One") + block + labels + short,
            S[:7],
            values={"a": floats(A[:7]), "b": floats(B[:7])},
        ),
        case_of(
            "with a tab after each row", head.format(x="One") + block + labels + table(STEPS, A, B, A, sep="\t", end="\t"), S
        ),
        case_of(
            "no column of times",
            head.format(x="No")
            + block.replace("\t\n", "\n")
            + "\tDev0/Ai0\tDev0/Ai2\tComment\n"
            + table([""] * COUNT, A, B, sep="\t"),
            S,
        ),
        case_of(
            "a time for each channel",
            head.format(x="Multi") + block + pairs + table(STEPS, A, [f"{float(t) + 0.005:.3f}" for t in STEPS], B, sep="\t"),
            S,
            "column 2",
            "",
        ),
        case_of(
            "a time for each channel, the second",
            head.format(x="Multi") + block + pairs + table(STEPS, A, [f"{float(t) + 0.005:.3f}" for t in STEPS], B, sep="\t"),
            S,
            "column 4",
            "",
            values={"a": floats(B)},
            columns={"t": "column 3"},
        ),
        case_of("surplus Comment, semicolons", "Time [s];A;B;Comment\n" + table(STEPS, A, B, sep=";"), S),
    ]
