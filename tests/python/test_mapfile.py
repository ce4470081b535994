"""Compressor map files: what is read, what comes back, and what is refused where."""

from __future__ import annotations

import math
import os
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airchain.base.errors import InputError
from airchain.buildfile.map_file import MapFile, SpeedLine, parse_map, read_map, write_map

# Invented figures.
MAP = """\
# name = demo blower, large wheel
# origin = invented; for this test
# Points taken from left to right.
# reference_temperature = 545 degR
# reference_pressure = 13.95 psia
# left_end = surge
# right_end = last_point
# tip_diameter = 5.5 in

speed [rpm], flow [lb/min], pressure_ratio, efficiency
30000, 20.5, 1.52, 0.70
30000, 28, 1.50, 0.75
30000, 36, 1.41, 0.69
# a remark between two lines
45000, 40, 2.31, 0.72
45000, 5.0e1, 2.2, .77
"""


def test_read_map_converts_to_si() -> None:
    read = parse_map(MAP, "demo.csv")
    assert read.name == "demo blower, large wheel"
    assert read.origin == "invented; for this test"
    assert read.notes == ("Points taken from left to right.", "a remark between two lines")
    assert read.reference_temperature == pytest.approx(545 / 1.8)
    # 6894.757293168 Pa to the psi, NIST SP 811, from memory.
    assert read.reference_pressure == pytest.approx(13.95 * 6894.757293168)
    assert read.tip_diameter == pytest.approx(5.5 * 0.0254)
    assert read.speed_limit is None
    assert (read.left_end, read.right_end) == ("surge", "last_point")
    first, second = read.lines
    assert first.speed == pytest.approx(30000 * math.pi / 30)
    assert first.flow == pytest.approx([w * 0.45359237 / 60 for w in (20.5, 28, 36)])
    assert first.pressure_ratio == (1.52, 1.50, 1.41)
    assert second.efficiency == (0.72, 0.77)
    assert (first.rows, second.rows) == ((11, 12, 13), (15, 16))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("\n", "\r\n"),
        ("\n", "\r"),
        ("# name", "\N{ZERO WIDTH NO-BREAK SPACE}# name"),
        # As a spreadsheet saves it: lines padded to four cells, those with a comma quoted.
        ("# name = demo blower, large wheel\n", '"# name = demo blower, large wheel",,,\n'),
        ("# left_end = surge\n\n", "# left_end = surge,,,\n,,,\n"),
        ("pressure_ratio, efficiency\n", '"pressure ratio [-]" , Efficiency [-],\n'),
        ("30000, 28, 1.50, 0.75", '"30000",28,1.50,0.75,,'),
    ],
)
def test_read_map_takes_what_other_programs_save(tmp_path: Path, old: str, new: str) -> None:
    file = tmp_path / "map.csv"
    file.write_bytes(MAP.replace(old, new).encode())
    assert read_map(file) == parse_map(MAP)


def test_columns_may_stand_in_any_order_and_unit() -> None:
    text = MAP[: MAP.index("speed [rpm]")] + (
        "efficiency [%], flow [kg/s], speed [rad/s], pressure_ratio\n70, 0.2, 3000, 1.5\n"
    )
    (line,) = parse_map(text).lines
    assert (line.speed, line.flow, line.pressure_ratio) == (3000.0, (0.2,), (1.5,))
    assert line.efficiency == pytest.approx((0.70,))


def test_rows_of_one_speed_are_one_line_in_file_order() -> None:
    lines = parse_map(MAP + "30000.0, 40, 1.3, 0.6\n").lines
    assert [len(line.flow) for line in lines] == [4, 2]
    assert lines[0].rows == (11, 12, 13, 17)


def without(key: str) -> str:
    return "".join(line for line in MAP.splitlines(True) if not line.startswith(f"# {key}"))


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            without("reference_temperature"),
            "m.csv: reference_temperature = nothing; must be given; "
            'add the line "# reference_temperature = 288.15 K"',
        ),
        (without("reference_pressure"), 'add the line "# reference_pressure = 101.325 kPa"'),
        (without("left_end"), 'm.csv: left_end = nothing; must be given; add the line "# left_end'),
        (without("right_end"), "m.csv: right_end = nothing; must be given"),
        (without("origin"), "m.csv: origin = nothing; must be given"),
        (without("name"), "m.csv: name = nothing; must be given"),
        (MAP.replace("= surge", "= stall"), 'm.csv:6: left_end = "stall"; must be surge or esti'),
        (MAP.replace("= invented", "= guessed"), "must begin with measured or predicted or inv"),
        (
            MAP.replace("# tip_diam", "# tip_diamter = 2 in\n# tip_diam"),
            'm.csv:8: tip_diamter = "2 in"; must be a key of a map file; did you mean "tip_diamete',
        ),
        (MAP + "# left_end = surge", 'm.csv:17: left_end = "surge"; must be given once; it is al'),
        (MAP.replace("= 5.5 in", "="), 'm.csv:8: tip_diameter = ""; must have a value; write for'),
        (
            MAP.replace("545 degR", "545"),
            'm.csv:4: reference_temperature = "545"; must have a unit',
        ),
        (MAP.replace("13.95 psia", "0 psig"), 'm.csv:5: reference_pressure = "0 psig"; must be an'),
        (MAP.replace("5.5 in", "5.5 lb"), 'm.csv:8: tip_diameter = "5.5 lb"; must be a length'),
        (MAP.replace("36,", "nan,"), 'm.csv:13: flow (column 2) = "nan"; must be a finite number'),
        (MAP.replace("1.41", "inf"), 'm.csv:13: pressure_ratio (column 3) = "inf"; must be a fi'),
        (MAP.replace("1.41", "1e999"), 'm.csv:13: pressure_ratio (column 3) = "1e999"; must be'),
        (MAP.replace("0.69", ""), 'm.csv:13: efficiency (column 4) = ""; must be a finite number'),
        (MAP.replace("0.69", "good"), 'm.csv:13: efficiency (column 4) = "good"; must be a fin'),
        (MAP.replace("36, 1.41", "36 1.41"), 'm.csv:13: row = "30000, 36 1.41, 0.69"; must have 4'),
        (MAP.replace("1.41, 0.69", "1,41, 0,69"), "m.csv:13: row = "),
        (MAP.replace(", ", ";"), 'm.csv:10: header = "speed [rpm];flow [lb/min];pressure_ratio;ef'),
        (MAP.replace(", ", "\t"), "must be separated by commas"),
        (
            MAP.replace("flow [lb/min]", "flow"),
            'm.csv:10: column = "flow"; must name its unit; wri',
        ),
        (
            MAP.replace("[lb/min]", "[cfm]"),
            'm.csv:10: unit of column flow = "1 cfm"; must be a mas',
        ),
        (MAP.replace("[lb/min]", "[lb/mni]"), 'unknown unit "mni"'),
        (MAP.replace("[rpm]", "[Hz]"), "m.csv:10: unit of column speed"),
        (MAP.replace("efficiency", "eficiency"), 'did you mean "efficiency"?'),
        (MAP.replace("efficiency", "flow [kg/s]"), 'column = "flow [kg/s]"; must stand once'),
        (MAP.replace(", efficiency", ""), "must have the column efficiency"),
        (MAP[: MAP.index("speed [")], "m.csv: header = nothing; must be given; add the line"),
        (MAP[: MAP.index("30000")], "m.csv: points = nothing; must be given; one row a point"),
        ("", "m.csv: name = nothing; must be given"),
        ("x" * 200_000, "m.csv:1: row = "),
    ],
)
def test_parse_map_names_the_bad_input(text: str, message: str) -> None:
    with pytest.raises(InputError) as caught:
        parse_map(text, "m.csv")
    assert message in str(caught.value)
    assert str(caught.value).startswith("m.csv:")
    assert len(str(caught.value)) < 300


@pytest.mark.parametrize("content", [None, b"# name = a\0", b"\xff\xfe# name"])
def test_read_map_names_the_bad_file(tmp_path: Path, content: bytes | None) -> None:
    file = tmp_path / "map.csv"
    if content is not None:
        file.write_bytes(content)
    with pytest.raises(InputError, match=r'file = ".*map.csv"; must be a compressor map in CSV; '):
        read_map(file)


def same(a: MapFile, b: MapFile) -> bool:
    """Whether two maps agree to the twelve figures that are written."""

    def near(x: float | None, y: float | None) -> bool:
        return x == y if x is None or y is None else math.isclose(x, y, rel_tol=6e-12, abs_tol=0)

    numbers = ("reference_temperature", "reference_pressure", "tip_diameter", "speed_limit")
    fields = ("flow", "pressure_ratio", "efficiency")
    words = dict.fromkeys(numbers, None)
    return (
        replace(a, lines=(), **words) == replace(b, lines=(), **words)  # type: ignore[arg-type]
        and all(near(getattr(a, name), getattr(b, name)) for name in numbers)
        and len(a.lines) == len(b.lines)
        and all(
            near(p.speed, q.speed)
            and all(
                len(getattr(p, f)) == len(getattr(q, f))
                and all(map(near, getattr(p, f), getattr(q, f)))
                for f in fields
            )
            for p, q in zip(a.lines, b.lines, strict=True)
        )
    )


POSITIVE = st.floats(1e-3, 1e4)
ONE_LINE = st.text(st.characters(exclude_categories=("C", "Z")), min_size=1, max_size=20)


@st.composite
def maps(draw: st.DrawFn) -> MapFile:
    speeds = draw(st.lists(st.integers(1, 10**6), min_size=1, max_size=4, unique=True))
    lines = []
    for speed in speeds:
        points = draw(st.lists(st.tuples(POSITIVE, POSITIVE, POSITIVE), min_size=1, max_size=4))
        flow, pressure_ratio, efficiency = zip(*points, strict=True)
        lines.append(SpeedLine(speed * 0.37, flow, pressure_ratio, efficiency))
    return MapFile(
        name="a, b 'c' " + draw(ONE_LINE) + "x",
        origin=draw(st.sampled_from(["measured", "predicted; by us", "invented"])),
        reference_temperature=draw(st.floats(250, 320)),
        reference_pressure=draw(st.floats(8e4, 1.1e5)),
        left_end=draw(st.sampled_from(["surge", "estimated", "last_point"])),
        right_end=draw(st.sampled_from(["choke", "last_point"])),
        lines=tuple(lines),
        tip_diameter=draw(st.none() | st.floats(0.05, 0.4)),
        speed_limit=draw(st.none() | POSITIVE),
        speed_unit=draw(st.sampled_from(["rpm", "rad/s"])),
        flow_unit=draw(st.sampled_from(["lb/min", "kg/s", "g/s"])),
        notes=("one", "two, with a comma"),
    )


@given(maps())
def test_written_map_comes_back(tmp_path_factory: pytest.TempPathFactory, made: MapFile) -> None:
    file = tmp_path_factory.mktemp("map") / "map.csv"
    write_map(file, made)
    back = read_map(file)
    assert same(back, made)
    first = file.read_text()
    write_map(file, back)
    assert file.read_text() == first


def test_write_map_leaves_mode_and_nothing_else(tmp_path: Path) -> None:
    file, link = tmp_path / "map.csv", tmp_path / "link.csv"
    file.write_text("old")
    file.chmod(0o640)
    link.symlink_to(file)
    write_map(link, parse_map(MAP))
    assert link.is_symlink()
    assert file.stat().st_mode & 0o777 == 0o640
    assert sorted(os.listdir(tmp_path)) == ["link.csv", "map.csv"]


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"name": "two\nlines"}, "must"),
        ({"name": "a\n# speed_limit = 5 rpm"}, "must come back the same"),
        ({"name": ""}, "name = "),
        ({"name": " padded,"}, "must come back the same"),
        ({"notes": ("left_end = surge",)}, "left_end"),
        ({"notes": ("a\n# b",)}, "must come back the same"),
        ({"origin": "guessed"}, "must begin with measured"),
        ({"left_end": "stall"}, "must be surge or estimated or last_point"),
        ({"reference_pressure": math.nan}, "reference_pressure"),
        ({"flow_unit": "cfm"}, "must be a unit of a mass flow"),
        ({"lines": ()}, "points = nothing"),
        ({"lines": (SpeedLine(1.0, (1.0,), (math.inf,), (0.7,)),)}, "must be a finite number"),
        ({"lines": (SpeedLine(1.0, (1.0, 2.0), (1.5,), (0.7,)),)}, "= 2, 1 and 1; must have"),
        ({"lines": (SpeedLine(1.0, (1.0,), (1.5,), (0.7,)),) * 2}, "must come back the same"),
        ({"lines": (SpeedLine(1.0, (), (), ()),)}, "points = nothing"),
    ],
)
def test_write_map_names_the_bad_input_and_leaves_the_old_file(
    tmp_path: Path, changes: dict[str, object], message: str
) -> None:
    file = tmp_path / "map.csv"
    file.write_text("old")
    with pytest.raises(InputError) as caught:
        write_map(file, replace(parse_map(MAP), **changes))  # type: ignore[arg-type]
    assert message in str(caught.value)
    assert file.read_text() == "old"
    assert os.listdir(tmp_path) == ["map.csv"]


@pytest.mark.parametrize("name", ["missing/map.csv", "", "a\0b", "x" * 300])
def test_write_map_names_the_bad_place(tmp_path: Path, name: str) -> None:
    with pytest.raises(InputError, match="must be a file that can be written; "):
        write_map(f"{tmp_path}/{name}", parse_map(MAP))
    assert os.listdir(tmp_path) == []


@given(st.text(max_size=80), st.integers(0, len(MAP)))
def test_any_text_is_read_or_refused(text: str, place: int) -> None:
    refused = None
    try:
        parse_map(MAP[:place] + text + MAP[place:], "m.csv")
    except InputError as error:
        refused = str(error)
    assert refused is None or refused.startswith("m.csv:")
