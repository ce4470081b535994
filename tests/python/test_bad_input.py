"""Every bad input in one table: what is typed wrong, and the refusal that names it.

Each row is a kind of mistake, a case of it, and the refusal as a pattern: where, field = value;
must be rule; hint. `blown` changes a build file, `geared` one with a gear pair and a level,
`mapped` the compressor map beside it, `holding` what lies where a file is expected, and `asked`
what is asked of a build that is well.
"""

import re
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pytest

import airchain
from airchain import _core
from airchain.chain import Build
from test_buildfile import BLOWN, MAP

GEARED = (
    BLOWN
    + """
[[drive.links]]
kind = "gears"
driving_teeth = 37
driven_teeth = 31
[levels.tame]
gears = { driving_teeth = 37, driven_teeth = 31, flipped = true }
"""
)
Act = Callable[[Path], object]


def _changed(text: str, *changes: str) -> str:
    for old, new in zip(changes[::2], changes[1::2], strict=True):
        assert text.count(old) >= 1, old
        text = text.replace(old, new)
    return text


def _loaded(folder: Path, build: str | bytes | None, blower: str | bytes | None = MAP) -> Build:
    for name, content in (("build.toml", build), ("map.csv", blower)):
        if content is not None:
            data = content.encode() if isinstance(content, str) else content
            (folder / name).write_bytes(data)
    return airchain.load(folder / "build.toml")


def blown(*changes: str) -> Act:
    """The build file with old texts replaced by new ones, in turns."""
    return lambda folder: _loaded(folder, _changed(BLOWN, *changes))


def geared(*changes: str) -> Act:
    return lambda folder: _loaded(folder, _changed(GEARED, *changes))


def mapped(*changes: str) -> Act:
    return lambda folder: _loaded(folder, BLOWN, _changed(MAP, *changes))


def holding(name: str, content: bytes | None) -> Act:
    if name == "map.csv":
        return lambda folder: _loaded(folder, BLOWN, content)
    return lambda folder: _loaded(folder, content)


def asked(question: Callable[[Build], object]) -> Act:
    return lambda folder: question(_loaded(folder, BLOWN))


class Bad(NamedTuple):
    """A mistake, a case of it, what is done, and the pattern its refusal matches in full."""

    mistake: str
    case: str
    act: Act
    refusal: str


HUGE = b"# x\n" * 2_000_000
BAD = [
    Bad("missing", "field", blown('stroke = "86 mm"\n', ""),
        r'build.toml:9: engine.stroke = missing; must be given; such as stroke = "... in"'),
    Bad("missing", "table", blown('[fuel]\nname = "gasoline_premium"\n', ""),
        r"build.toml:1: fuel = missing; must be given; write a table \[fuel\]"),
    Bad("missing", "field of a link", blown('driven_diameter = "3 in"\n', ""),
        r"build.toml:21: drive.links.0.driven_diameter = missing; must be given; it is between .*"),
    Bad("missing", "unit", blown('"7000 rpm"', "7000"),
        r'build.toml:13: engine.redline = 7000; must have a unit, such as "7000 rpm"'),
    Bad("missing", "level without gears", geared("gears = {", "# gears = {"),
        r"build.toml:\d+: levels.tame.gears = missing; must be given; or links"),
    Bad("missing", "key of a map", mapped("# left_end = surge\n", ""),
        r'.*map.csv: left_end = nothing; must be given; add the line "# left_end = surge"'),
    Bad("missing", "name of a fuel", blown('name = "gasoline_premium"\n', ""),
        r"build.toml:7: fuel.name = missing; must be given; one of gasoline_regular, .*"),
    Bad("missing", "word out of a list", blown("[fuel]", "[cooler]\neffectiveness = 0.7\n[fuel]"),
        r"build.toml:\d+: cooler.kind = missing; must be given; it is one of none, air_to_air, .*"),
    Bad("extra", "field", blown("[fuel]", "[fuel]\ncolour = 3"),
        r"build.toml:8: fuel.colour = 3; must be a key of \[fuel\]; the keys are name, .*"),
    Bad("extra", "table", blown("[fuel]", "[paint]\ncolour = 3\n[fuel]"),
        r"build.toml:7: paint = \{\.\.\.\}; must be a table of a build file; .*"),
    Bad("extra", "two ways at once",
        blown('displacement = "2.0 L"', 'bore = "3 in"\ndisplacement = "2.0 L"'),
        r'build.toml:11: engine.displacement = "2.0 L"; must not stand beside bore; .*'),
    Bad("extra", "drive without a compressor", blown('[compressor]\nmap = "map.csv"', "[exhaust]"),
        r"build.toml:19: exhaust.inertia = .*\nbuild.toml:20: drive = \{\.\.\.\}; must stand "
        r"only beside a table \[compressor\]; without one the engine is naturally aspirated"),
    Bad("misspelt", "field", blown("redline =", "redlime ="),
        r'build.toml:13: engine.redlime = "7000 rpm"; must be a key .* did you mean "redline"\?'),
    Bad("misspelt", "table", blown("[ambient]", "[ambiant]"),
        r'build.toml:4: ambiant = .*; must be a table .* did you mean "ambient"\?'),
    Bad("misspelt", "word", blown('"step_up"', '"stepup"'),
        r'build.toml:27: drive.links.1.kind = "stepup"; must be .* did you mean "step_up"\?'),
    Bad("wrong dimension", "pressure for a length", blown('"86 mm"', '"86 kPa"'),
        r'build.toml:11: engine.stroke = "86 kPa"; must be a length, such as "86 in"'),
    Bad("wrong dimension", "word for a number", blown('"86 mm"', '"long"'),
        r'build.toml:11: engine.stroke = "long"; must be a length: a number and its unit, .*'),
    Bad("wrong dimension", "word for a flag", geared("flipped = true", "flipped = 1"),
        r"build.toml:\d+: levels.tame.gears.flipped = 1; must be true or false"),
    Bad("wrong dimension", "number for a text", blown('"map.csv"', "3"),
        r"build.toml:19: compressor.map = 3; must be text in quotes"),
    Bad("gauge for absolute", "psig", blown('"101.325 kPa"', '"14 psig"'),
        r'build.toml:5: ambient.pressure = "14 psig"; must be an absolute pressure; this is a '
        r"gauge reading: add the barometer and write psia, kPa or inHg"),
    Bad("gauge for absolute", "psi that does not say", blown('"101.325 kPa"', '"14.7 psi"'),
        r'build.toml:5: ambient.pressure = "14.7 psi"; must say that it is absolute; .*'),
    Bad("gauge for absolute", "a gauge's zero", blown('"101.325 kPa"', '"0 kPa"'),
        r'build.toml:5: ambient.pressure = "0 kPa"; must be between 40 and 110 kPa'),
    Bad("gauge for absolute", "zero in a map", mapped("101.325 kPa", "0 kPa"),
        r".*map.csv:4: reference_pressure = 0 Pa; must be between 20000 and 200000 Pa"),
    Bad("gauge for absolute", "reference of a map", mapped("101.325 kPa", "14.7 psi"),
        r'.*map.csv:4: reference_pressure = "14.7 psi"; must say that it is absolute; .*'),
    Bad("Celsius for kelvin", "weather", blown('"15 degC"', '"15 K"'),
        r'build.toml:6: ambient.temperature = "15 K"; must be between 230 and 330 K; did you mean '
        r"15 degC\?"),
    Bad("Celsius for kelvin", "reference of a map", mapped("288.15 K", "15 K"),
        r".*map.csv:3: reference_temperature = 15 K; must be .*; did you mean 15 degC\?"),
    Bad("Celsius for kelvin", "in Python",
        asked(lambda b: b.chain.ambient.replace(temperature=25.0)),
        r"Ambient: temperature = 25 K; must be between .*; did you mean 25 degC\?"),
    Bad("zero", "displacement", blown('"2.0 L"', '"0 L"'),
        r'build.toml:10: engine.displacement = "0 L"; must be between 0.01 and 50 L'),
    Bad("zero", "teeth", geared("driving_teeth = 37\n", "driving_teeth = 0\n"),
        r"build.toml:\d+: drive.links.2.driving_teeth = 0; must be between 8 and 200"),
    Bad("zero", "teeth in a level", geared("{ driving_teeth = 37", "{ driving_teeth = 0"),
        r"build.toml:\d+: levels.tame.gears.driving_teeth = 0; must be between 8 and 200"),
    Bad("zero", "speed of a map line", mapped("20000,", "0,"),
        r".*map.csv:9: .*speed line 1: speed = 0 rad/s; must be above 0 .*"),
    Bad("zero", "engine speed", asked(lambda b: b.pull([0])),
        r"Pull: rpm = \[0\]; must be positive finite engine speeds in a row; .*"),
    Bad("negative", "displacement", blown('"2.0 L"', '"-2 L"'),
        r'build.toml:10: engine.displacement = "-2 L"; must be between 0.01 and 50 L'),
    Bad("negative", "rate of a timed pull", asked(lambda b: b.timed_pull(rpm_per_second=-500)),
        r"timed_pull: rpm_per_second = -500; must be a number above 0, in rpm per second"),
    Bad("NaN", "typed", blown("= 10.5", "= nan"),
        r"build.toml:12: engine.compression_ratio = nan; must be a plain number, and finite"),
    Bad("NaN", "in a map", mapped("1.80, 0.76", "1.80, nan"),
        r'.*map.csv:13: efficiency \(column 4\) = "nan"; must be a finite number'),
    Bad("NaN", "engine speed", asked(lambda b: b.pull([np.nan])),
        r"Pull: rpm = \[nan\]; must be positive finite engine speeds in a row; .*"),
    Bad("unit", "engine speed", asked(lambda b: b.pull(["4000 rpm"])),
        r"Pull: rpm = \['4000 rpm'\]; must be numbers without a unit; engine speeds are in rpm, "
        r"such as \[3000, 4000, 5000\]"),
    Bad("NaN", "axis of a sweep", asked(lambda b: airchain.sweep(b, {"rpm": [np.nan]})),
        r"sweep: rpm = nan; must be a rotational speed, and finite"),
    Bad("infinite", "typed", blown("= 10.5", "= inf"),
        r"build.toml:12: engine.compression_ratio = inf; must be a plain number, and finite"),
    Bad("infinite", "in Python", asked(lambda b: b.chain.engine.replace(stroke=np.inf)),
        r"Engine: stroke = inf m; must be .*"),
    Bad("out of range", "compression ratio", blown("= 10.5", "= 105"),
        r"build.toml:12: engine.compression_ratio = 105; must be between 5 and 20"),
    Bad("out of range", "half a tooth", geared("driven_teeth = 31\n", "driven_teeth = 31.5\n"),
        r"build.toml:33: drive.links.2.driven_teeth = 31.5; must be a whole number .*\n"
        r"build.toml:35: levels.tame.gears = \{\.\.\.\}; must have 68.5 teeth in the pair, .*"),
    Bad("out of range", "other centres", geared("driven_teeth = 31,", "driven_teeth = 33,"),
        r"build.toml:\d+: levels.tame.gears = \{\.\.\.\}; must have 68 teeth in the pair, .*"),
    Bad("out of range", "impeller of the other hand",
        geared('map = "map.csv"', 'map = "map.csv"\nrotates = "with crank"'),
        r'build.toml:22: drive: rotation = "against crank"; must turn the impeller with crank, .*\n'
        r"build.toml:35: levels.tame: rotation = .*; a wrong-handed impeller does not compress"),
    Bad("efficiency above 1", "of a link", blown("slip =", 'efficiency = "150 %"\nslip ='),
        r'build.toml:25: drive.links.0.efficiency = "150 %"; must be above 50 and at most 100 %'),
    Bad("efficiency above 1", "per cent for a fraction", blown("0.95, 0.90]", "95, 0.90]"),
        r"build.toml:16: engine.volumetric_efficiency.values = .*; give a fraction, .*"),
    Bad("efficiency above 1", "in a map", mapped("1.80, 0.76", "1.80, 1.76"),
        r".*map.csv:13: .*point 2: efficiency = 1.76; must be between 0.05 and 0.95; .*"),
    Bad("table", "too short", blown("0.95, 0.90]", "0.95]"),
        r"build.toml:16: .*values = .*; must have .* for each rpm \(3\); it has 1, with 2"),
    Bad("table", "unsorted", blown("[1000, 4000,", "[4000, 1000,"),
        r"build.toml:15: .*rpm = \[4000, 1000, 7000\]; must be greater than the one before it .*"),
    Bad("map lines", "empty file", mapped(MAP, ""),
        r".*map.csv: name = nothing; must be given; .*"),
    Bad("map lines", "no points", mapped(MAP[MAP.index("20000") :], ""),
        r".*map.csv: points = nothing; must be given; one row a point below the header"),
    Bad("map lines", "one line", mapped(MAP[MAP.index("40000") :], ""),
        r".*map.csv: .*the map has 1 speed line; must be at least 2; .*"),
    Bad("map lines", "one point", mapped("60000, 0.30, 3.20, 0.74\n60000, 0.40, 2.20, 0.60\n", ""),
        r".*map.csv:15: .*speed line 3 has 1 points; must be at least 3"),
    Bad("map lines", "unsorted lines", mapped("20000,", "70000,"),
        r".*map.csv:12: .*must be above that of the line before it .*; sort the lines .*"),
    Bad("map lines", "unsorted points", mapped("0.20, 1.80", "0.40, 1.80"),
        r".*map.csv:12: .*flow = 0.28 kg/s follows 0.4 kg/s; must be in order from surge .*"),
    Bad("map lines", "duplicated points", mapped("0.20, 1.80, 0.76", "0.12, 1.95, 0.76"),
        r".*map.csv:12: .*points 1 and 2 have the same flow and pressure ratio; .*"),
    Bad("map lines", "crossing lines", mapped("0.20, 3.60", "0.20, 1.30"),
        r".*map.csv:15: .*speed line 3 has pressure ratio 1.3 at 0.2 kg/s, where the slower speed "
        r"line 2 has 1.8; must be above it; the lines cross; .*"),
    Bad("name", "a fuel that does not exist", blown("gasoline_premium", "premium"),
        r'build.toml:8: fuel.name = "premium"; must be .* did you mean "gasoline_premium"\?'),
    Bad("name", "a level that does not exist", asked(lambda b: b.level("tame")),
        r'Plain: level = "tame"; must be one of none; the file has no \[levels\]'),
    Bad("name", "a key without its table", asked(lambda b: b.replace({"effectiveness": 0.8})),
        r'.*replace = "effectiveness"; must be a dotted path .*; '
        r'did you mean "cooler.effectiveness"\?'),
    Bad("name", "a key without its table that several have",
        asked(lambda b: b.replace({"area": "2 in^2"})),
        r'.*replace = "area"; .*; did you mean ".*\.area".* or ".*\.area"\?'),
    Bad("name", "no key of any table", asked(lambda b: b.replace({"rubbish": 1})),
        r'.*replace = "rubbish"; must be a dotted path .*; the tables are build, .*'),
    Bad("name", "a unit that does not exist",
        asked(lambda b: b.pull([5000]).at(5000, "power", "hpp")),
        r'power: unit = "hpp"; must be a unit of a power, such as "hp".*'),
    Bad("name", "a column that does not exist", asked(lambda b: b.pull([5000])["powr"]),
        r'Pull: column = "powr"; must be a column of a result; did you mean "power"\?'),
    Bad("rpm beyond the limit", "above what a chain takes", asked(lambda b: b.pull([30000])),
        r"Pull: rpm = 30000; must be between 191 and 23,873 rpm; engine speeds are typed in rpm"),
    Bad("rpm beyond the limit", "rad/s typed as rpm", asked(lambda b: b.pull([5000]).stations(100)),
        r"Pull: rpm = 100; must be between 191 and 23,873 rpm; .*"),
    Bad("rpm beyond the limit", "in a sweep", asked(lambda b: airchain.sweep(b, {"rpm": [30000]})),
        r"sweep: rpm = 30000; must be between 191 and 23,873 rpm; .*"),
    Bad("file", "no TOML", blown("[fuel]", "[fuel"),
        r'build.toml:7: text = "\[fuel"; must be valid TOML; .* at column 6'),
    *(
        Bad("file", f"{name} {words}", holding(name, content),
            rf'.*file = ".*{name}"; must .*{words}.*')
        for name in ("build.toml", "map.csv")
        for content, words in (
            (None, "there is no such file"), (b"\x00\x01\x02", "it is binary"),
            (b"\xff\xfe name", "not UTF-8"), (HUGE, "larger than 4 MiB"),
        )
    ),
]  # fmt: skip


@pytest.mark.parametrize("bad", BAD, ids=lambda bad: f"{bad.mistake}: {bad.case}")
def test_names_the_bad_input(tmp_path: Path, bad: Bad) -> None:
    with pytest.raises(airchain.InputError) as caught:
        bad.act(tmp_path)
    message = str(caught.value).replace(f"{tmp_path}/", "")
    assert re.fullmatch(bad.refusal, message), message
    # Nothing is left besides what the test itself wrote.
    assert {p.name for p in tmp_path.iterdir()} <= {"build.toml", "map.csv"}


def test_the_well_build_is_taken(tmp_path: Path) -> None:
    assert _loaded(tmp_path, BLOWN).supercharged
    assert list(_loaded(tmp_path, GEARED).levels) == ["tame"]


# Mistakes that only the match can find never throw: such a point is NaN, and its status says why.
LOST = {
    "left_of_surge_line": ('driven_diameter = "3 in"', 'driven_diameter = "1.6 in"', 1500),
    "outside_map": ('driven_diameter = "3 in"', 'driven_diameter = "1.6 in"', 6500),
}


@pytest.mark.parametrize("status", LOST)
def test_a_chain_with_no_solution_says_why(tmp_path: Path, status: str) -> None:
    old, new, rpm = LOST[status]
    pull = _loaded(tmp_path, _changed(BLOWN, old, new)).pull([rpm])
    assert pull.status == [status]
    assert all(np.isnan(pull[name][0]) for name in ("power", "boost", "air_flow"))
    assert len(pull.notes) == 1
    assert pull.notes[0].startswith("1 ")


def test_past_choke_the_compressor_is_solved_on_its_choke_line(tmp_path: Path) -> None:
    text = _changed(BLOWN, 'displacement = "2.0 L"', 'displacement = "8.0 L"')
    pull = _loaded(tmp_path, text).pull([6500])
    assert pull.status == ["matched"]
    assert any("The compressor is choked" in note for note in pull.notes)
    assert (
        airchain.ladder(_loaded(tmp_path, text), [6500]).steps[-1].margin("choke_margin") == "none"
    )
    # A map that does not say that its right ends are choke has no choke line.
    unknown = _changed(MAP, "# right_end = choke", "# right_end = last_point")
    lost = _loaded(tmp_path, text, unknown).pull([6500])
    assert lost.status == ["beyond_choke"]
    assert np.isnan(lost["power"][0])


def test_rpm_beyond_redline_is_told_and_solved(tmp_path: Path) -> None:
    build = _loaded(tmp_path, BLOWN).naturally_aspirated()
    pull = build.pull([6900, 7100])
    assert pull.status == ["matched", "matched"]
    limit = _core.flag_names().index("over_engine_speed_limit")
    assert [int(flags) >> limit & 1 for flags in pull["flags"]] == [0, 1]
    assert "At 1 of 2 points the engine turns faster than its own speed limit." in pull.notes


def test_all_errors_of_a_file_are_told_together(tmp_path: Path) -> None:
    text = _changed(
        BLOWN, '"101.325 kPa"', '"14 psig"', '"15 degC"', '"15 K"', "[fuel]", "[fuel]\ncolour = 3",
        '"86 mm"', '"86 kPa"', "= 10.5", "= 105", 'driven_diameter = "3 in"\n', "", '"step_up"',
        '"stepup"',
    )  # fmt: skip
    blower = _changed(MAP, "1.80, 0.76", "1.80, nan", "3.20, 0.74", "x, 0.74")
    with pytest.raises(airchain.InputError) as caught:
        _loaded(tmp_path, text, blower)
    lines = str(caught.value).replace(f"{tmp_path}/", "").splitlines()
    assert [line.split(" = ")[0] for line in lines] == [
        "build.toml:5: ambient.pressure",
        "build.toml:6: ambient.temperature",
        "build.toml:8: fuel.colour",
        "build.toml:12: engine.stroke",
        "build.toml:13: engine.compression_ratio",
        "build.toml:22: drive.links.0.driven_diameter",
        "build.toml:27: drive.links.1.kind",
        "map.csv:13: efficiency (column 4)",
        "map.csv:16: pressure_ratio (column 3)",
    ]
    assert all("; must " in line for line in lines)


def test_a_file_full_of_errors_is_told_in_twenty_lines(tmp_path: Path) -> None:
    rows = "".join(f"60000, {i}, x, 0.7\n" for i in range(1000))
    with pytest.raises(airchain.InputError) as caught:
        _loaded(tmp_path, BLOWN, MAP + rows)
    lines = str(caught.value).splitlines()
    assert len(lines) == 21
    assert lines[-1] == "and 980 more refusals"
