"""One table of bad build files and bad maps: what is wrong, where, and the words of the refusal."""

import re
from pathlib import Path

import pytest

import airchain
from airchain.buildfile import load
from test_buildfile import BLOWN, MAP

# What is typed wrong (old text, new text), the line it is refused in ('' for the whole file), and
# the refusal from there on.
BAD_BUILDS = {
    "missing field": ('stroke = "86 mm"\n', "", "9", r"engine.stroke = missing; must be given"),
    "missing table": (
        '[fuel]\nname = "gasoline_premium"\n',
        "",
        "1",
        r"fuel = missing; must be given; write a table \[fuel\]",
    ),
    "missing link field": ('driven_diameter = "3 in"\n', "", "21", "driven_diameter = missing"),
    "extra field": ("[fuel]", "[fuel]\ncolour = 3", "8", r"fuel.colour = 3; must be a key of \[fu"),
    "extra table": ("[fuel]", "[paint]\ncolour = 3\n[fuel]", "7", "paint = .*; must be a table of"),
    "misspelt field": ("redline =", "redlime =", "13", 'redlime = .* did you mean "redline"'),
    "misspelt table": ("[ambient]", "[ambiant]", "4", 'ambiant = .* did you mean "ambient"'),
    "misspelt word": ('"step_up"', '"stepup"', "27", 'kind = "stepup".*did you mean "step_up"'),
    "no unit": (
        '"7000 rpm"',
        "7000",
        "13",
        r'redline = 7000; must have a unit, such as "7000 rpm"',
    ),
    "wrong dimension": ('"86 mm"', '"86 kPa"', "11", 'stroke = "86 kPa"; must be a length'),
    "not a number": ('"86 mm"', '"long"', "11", 'stroke = "long"; must be a length'),
    "gauge": ('"101.325 kPa"', '"14 psig"', "5", "pressure = .* must be an absolute pressure"),
    "plain psi": ('"101.325 kPa"', '"14.7 psi"', "5", "must say that it is absolute"),
    "Celsius as kelvin": ('"15 degC"', '"15 K"', "6", "must be between .*did you mean 15 degC"),
    "zero": ('"2.0 L"', '"0 L"', "10", r'displacement = "0 L"; must be between'),
    "negative": ('"2.0 L"', '"-2 L"', "10", r'displacement = "-2 L"; must be between'),
    "NaN": ("= 10.5", "= nan", "12", "compression_ratio = nan; must be .* finite"),
    "infinite": ("= 10.5", "= inf", "12", "compression_ratio = inf; must be .* finite"),
    "true": ("= 10.5", "= true", "12", "compression_ratio = True; must be a plain number"),
    "out of range": ("= 10.5", "= 105", "12", "compression_ratio = 105; must be between 5 and 20"),
    "a fuel that does not exist": ("gasoline_premium", "premium", "8", 'name = "premium"; must be'),
    "table too short": (
        "0.95, 0.90]",
        "0.95]",
        "16",
        r"values = .*one value for each rpm \(3\)",
    ),
    "per cent for fraction": ("0.95, 0.90]", "95, 0.90]", "16", "give a fraction"),
    "unsorted speeds": ("[1000, 4000,", "[4000, 1000,", "15", "rpm = .*; must be greater"),
    "not a map": ('"map.csv"', "3", "19", "map = 3; must be text"),
    "two ways at once": (
        'displacement = "2.0 L"',
        'bore = "3 in"\ndisplacement = "2.0 L"',
        "11",
        "displacement = .*; must not stand beside bore",
    ),
    "bad efficiency": (
        "slip =",
        'efficiency = "150 %"\nslip =',
        "25",
        'efficiency = "150 %"; must',
    ),
    "no TOML": ("[fuel]", "[fuel", "7", "must be valid TOML"),
}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "map.csv").write_text(MAP)
    return tmp_path


def refused(folder: Path, text: str) -> str:
    """The refusal of a build file, without the folder."""
    path = folder / "build.toml"
    path.write_text(text)
    with pytest.raises(airchain.InputError) as caught:
        load(path)
    return str(caught.value).replace(f"{folder}/", "")


@pytest.mark.parametrize("name", BAD_BUILDS)
def test_names_the_bad_input_of_a_build(folder: Path, name: str) -> None:
    old, new, line, words = BAD_BUILDS[name]
    assert BLOWN.count(old) == 1
    message = refused(folder, BLOWN.replace(old, new))
    assert re.match(rf"build.toml:({line}): ", message), message
    assert re.search(words, message), message
    assert "; must " in message


GEARS = """
[[drive.links]]
kind = "gears"
driving_teeth = 37
driven_teeth = 31
[levels.tame]
gears = { driving_teeth = 37, driven_teeth = 31, flipped = true }
"""
BAD_DRIVES = {
    "no teeth": ("driving_teeth = 37\n", "driving_teeth = 0\n", r"links.2.driving_teeth = 0; must"),
    "half a tooth": ("driven_teeth = 31\n", "driven_teeth = 31.5\n", r"driven_teeth = 31.5; must"),
    "no teeth in a level": (
        "{ driving_teeth = 37",
        "{ driving_teeth = 0",
        r"levels.tame.gears.driving_teeth = 0; must",
    ),
    "other centres": ("driven_teeth = 31,", "driven_teeth = 33,", "must have 68 teeth"),
    "empty level": ("gears = {", "# gears = {", "levels.tame.gears = missing"),
    "word for flag": ("flipped = true", "flipped = 1", "flipped = 1; must be true or false"),
    "wrong hand": (
        "[levels.tame]",
        "[compressor.x]\n[levels.tame]",
        "compressor.x = .*must be a key of",
    ),
}


@pytest.mark.parametrize("name", BAD_DRIVES)
def test_names_the_bad_input_of_a_drive(folder: Path, name: str) -> None:
    old, new, words = BAD_DRIVES[name]
    message = refused(folder, (BLOWN + GEARS).replace(old, new))
    assert re.match(r"build.toml:\d+: ", message), message
    assert re.search(words, message), message


def test_an_impeller_of_the_other_hand_is_refused(folder: Path) -> None:
    handed = BLOWN.replace('map = "map.csv"', 'map = "map.csv"\nrotates = "with crank"')
    (folder / "good.toml").write_text(handed)
    assert load(folder / "good.toml").supercharged
    message = refused(folder, handed + GEARS)
    assert re.search(r'rotation = "against crank"; must turn the impeller with crank', message)


BAD_MAPS = {
    "empty": (MAP, "", r"map.csv: .* must"),
    "no points": (MAP[MAP.index("20000") :], "", r"map.csv"),
    "one line": (MAP[MAP.index("40000") :], "", r"map.csv.*at least 2"),
    "one point": ("60000, 0.30, 3.20, 0.74\n60000, 0.40, 2.20, 0.60\n", "", "map.csv:15: .*points"),
    "unsorted lines": ("20000,", "70000,", "map.csv:.*(sort|slower|above)"),
    "unsorted points": ("0.20, 1.80", "0.40, 1.80", "map.csv:12: .*in order from surge"),
    "duplicate": ("0.20, 1.80, 0.76", "0.12, 1.95, 0.76", "map.csv:1[23]: .*same flow"),
    "crossing": ("0.20, 3.60", "0.20, 1.30", "map.csv:1[2-7]: .*"),
    "efficiency above 1": ("1.80, 0.76", "1.80, 1.76", "map.csv:1[23]: .*efficiency = 1.76; must"),
    "zero speed": ("20000,", "0,", "map.csv"),
    "not a number": ("1.80, 0.76", "1.80, nan", "map.csv:13: .*finite"),
}


@pytest.mark.parametrize("name", BAD_MAPS)
def test_names_the_bad_input_of_a_map(folder: Path, name: str) -> None:
    old, new, words = BAD_MAPS[name]
    (folder / "map.csv").write_text(MAP.replace(old, new))
    message = refused(folder, BLOWN)
    assert re.search(words, message), message


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (None, "there is no such file"),
        (b"\x00\x01\x02", "it is binary"),
        (b"\xff\xfe name", "not UTF-8"),
        (b"# x\n" * 2_000_000, "larger than 4 MiB"),
    ],
)
@pytest.mark.parametrize("which", ["build.toml", "map.csv"])
def test_names_a_file_that_is_none(
    tmp_path: Path, content: bytes | None, words: str, which: str
) -> None:
    files: dict[str, bytes | None] = {"build.toml": BLOWN.encode(), "map.csv": MAP.encode()}
    files[which] = content
    for name, data in files.items():
        if data is not None:
            (tmp_path / name).write_bytes(data)
    with pytest.raises(airchain.InputError, match=rf"{which}.*{words}"):
        load(tmp_path / "build.toml")


def test_nothing_of_a_compressor_stands_without_one(folder: Path) -> None:
    message = refused(folder, BLOWN.replace('[compressor]\nmap = "map.csv"', "[exhaust]"))
    assert "drive = {...}; must stand only beside a table [compressor]" in message
