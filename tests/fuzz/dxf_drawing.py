"""Feeds the reader of DXF drawings, and of plans, tags that a fuzzer makes: see ``one_reader.py``.

Bytes alone seldom make a drawing, so half of the inputs choose tags that mean something.
"""

from __future__ import annotations

import contextlib
import io

from one_reader import read_survey_of, run

CODES = (0, 1, 2, 3, 5, 6, 7, 8, 10, 11, 13, 14, 20, 21, 23, 24, 30, 31, 38, 39, 40, 41, 42, 50, 51,
         62, 66, 67, 70, 71, 72, 73, 74, 90, 100, 210, 220, 230)  # fmt: skip
VALUES = ("POINT", "LINE", "INSERT", "ATTRIB", "SEQEND", "POLYLINE", "VERTEX", "LWPOLYLINE",
          "3DFACE", "TEXT", "MTEXT", "DIMENSION", "ARC", "CIRCLE", "ELLIPSE", "SPLINE", "ENDSEC",
          "BLOCK", "0", "1", "2", "3", "4", "5", "-1", "1.5", "0.3", "99.10", "EL. 99.1'", "1e300",
          "-1e300", "nan", "inf", "x", "", "PT-NO", "NAME", "ELEV", "A\\PB\\P99.10", "12 (peg)",
          "%%d", "<>", "36'-0\"", "AcDbText", "\\U+00e9")  # fmt: skip
HEAD = "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\n%s\n9\n$INSUNITS\n70\n%d\n0\nENDSEC\n"
VERSIONS = ("AC1009", "AC1015", "AC1021", "AC1032")


def drawing_of(data: bytes) -> bytes:
    """Make a drawing of tags, two bytes each."""
    version, unit = VERSIONS[data[0] % len(VERSIONS)], data[0] // len(VERSIONS) % 22
    tags = "".join(
        f"{CODES[code % len(CODES)]}\n{VALUES[value % len(VALUES)]}\n"
        for code, value in zip(data[1::2], data[2::2], strict=False)
    )
    text = f"{HEAD % (version, unit)}0\nSECTION\n2\nENTITIES\n{tags}0\nENDSEC\n0\nEOF\n"
    return text.encode()


def read_one(data: bytes) -> None:
    """Read one input as a survey and as a designer's plan."""
    from staking.errors import InputError
    from staking.survey.dxf.plan_curves import parse_plan_drawing

    if len(data) < 5:
        return
    content = drawing_of(data[4:]) if data[3] & 1 else data[4:]
    read_survey_of(data[:3] + content, (".dxf",))
    with contextlib.suppress(InputError):
        parse_plan_drawing(io.BytesIO(content), "fuzzed.dxf")


if __name__ == "__main__":
    run(read_one)
