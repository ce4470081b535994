"""Lines of TOML keys, and files that are no TOML."""

from __future__ import annotations

import os
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airchain.base.errors import InputError
from airchain.buildfile.toml_lines import find_line, key_lines, nearest_line, parse_toml, read_toml

DOCUMENT = '''\
# an invented build
name = "demo"  # = not = keys
"quoted key" = 1
engine.displacement = "427 in^3"
engine . bore . 'nom inal' = "4.25 in"
text = """
[not.a.table]
key = 1 \\""" still text
"""
raw = \'\'\'
[[no]]\'\'\'

[ambient]
temperature = "95 degF"
lists = [
  1, # one
  [2, 3], "a ] b",
  { x = 1, y = { z = 2 } },
]

[drive]
loss = 0.02
[[drive.link]]
kind = "gear_pair"
driven_teeth = 21
[[drive.link]]
driven_teeth = 0
[drive.link.belt]
width = "3 in"
[[drive.link.tooth]]
n = 1
[deep.er.still]
day = 1979-05-27 07:32:00
'''


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("name",), 2),
        (("quoted key",), 3),
        (("engine",), 4),
        (("engine", "displacement"), 4),
        (("engine", "bore"), 5),
        (("engine", "bore", "nom inal"), 5),
        (("text",), 6),
        (("raw",), 10),
        (("ambient",), 13),
        (("ambient", "temperature"), 14),
        (("ambient", "lists"), 15),
        (("ambient", "lists", 0), 16),
        (("ambient", "lists", 1), 17),
        (("ambient", "lists", 1, 1), 17),
        (("ambient", "lists", 3, "y", "z"), 18),
        (("drive",), 21),
        (("drive", "link"), 23),
        (("drive", "link", 0), 23),
        (("drive", "link", 0, "driven_teeth"), 25),
        (("drive", "link", 1), 26),
        (("drive", "link", 1, "driven_teeth"), 27),
        (("drive", "link", 1, "belt", "width"), 29),
        (("drive", "link", 1, "tooth", 0, "n"), 31),
        (("deep",), 32),
        (("deep", "er", "still", "day"), 33),
        # Keys that are not there: the nearest parent.
        (("ambient", "pressure"), 13),
        (("drive", "link", 1, "driving_teeth"), 26),
        (("drive", "link", 7, "driven_teeth"), 23),
        (("cooler", "effectiveness"), 1),
        ((), 1),
    ],
)
def test_find_line(path: tuple[str | int, ...], line: int) -> None:
    tomllib.loads(DOCUMENT)
    assert find_line(DOCUMENT, path) == line
    assert find_line(DOCUMENT.replace("\n", "\r\n"), path) == line


def paths_of(value: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    """Every key path of the values tomllib gives."""
    found = [path] if path else []
    if isinstance(value, dict | list):
        for key, item in value.items() if isinstance(value, dict) else enumerate(value):
            found += paths_of(item, (*path, key))
    return found


def test_every_key_of_the_document_has_a_line() -> None:
    assert set(key_lines(DOCUMENT)) == set(paths_of(tomllib.loads(DOCUMENT)))


KEYS = st.sampled_from(["a", "b-1", "'q k'", '"e\\u0041\\""', "x.y", '"".z', "3"])
SCALARS = st.sampled_from(
    [
        '"s"',
        '""',
        "''",
        "'#]'",
        '"\\\\"',
        '"\\"#"',
        "-1.5e3",
        "nan",
        "true",
        "1979-05-27 07:32:00",
        '"""a\n\n"b"" c"""',
        '"""x""""',
        "'''\n#[a]\n''''",
        '"""\\\n  y"""',
    ]
)


def containers(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    arrays = st.builds(
        lambda items, gap: "[" + gap + f",{gap}".join(items) + "]",
        st.lists(inner, max_size=3),
        st.sampled_from(["", " ", "\n", " # c ] \n"]),
    )
    one_line = inner.filter(lambda text: "\n" not in text)
    tables = st.builds(
        lambda a, b: "{ k = " + a + ", 'l m'.n = " + b + " }", one_line, one_line
    ) | st.just("{}")
    return arrays | tables


VALUES = st.recursive(SCALARS, containers, max_leaves=6)
ROWS = st.builds(lambda k, v: f"{k} = {v}", KEYS, VALUES) | st.sampled_from(
    ["[a]", "[ t . 'u v' ]", "[[list]]", "[list.sub]", "[[list.sub2]]", "# c = 1", "", "  "]
)


@given(st.lists(ROWS, max_size=12), st.sampled_from(["\n", "\r\n", "\n\n"]))
def test_every_key_tomllib_reads_has_a_line(rows: list[str], end: str) -> None:
    text = ""
    for row in rows:  # leave out what would be no TOML, such as a key given twice
        try:
            tomllib.loads(text + row + end)
        except tomllib.TOMLDecodeError:
            continue
        text += row + end
    lines = key_lines(text)
    assert set(lines) == set(paths_of(tomllib.loads(text)))
    source = text.split("\n")
    for path, line in lines.items():
        if isinstance(path[-1], str) and path[-1].isalnum():
            assert path[-1] in source[line - 1].replace("\\u0041", "A")
        assert lines.get(path[:-1], 1) <= line


@given(st.text(alphabet="ab=.[]{}\"'\\\n#, 1", max_size=60))
def test_any_text_is_scanned_or_refused(text: str) -> None:
    assert nearest_line(key_lines(text), ("a", "b", 1)) <= text.count("\n") + 1
    refused = None
    try:
        parse_toml(text, "f.toml")
    except InputError as error:
        refused = str(error)
    assert refused is None or refused.startswith("f.toml:")


@pytest.mark.parametrize(
    ("text", "start"),
    [
        ('a = 1\nb = "2\nc = 3\n', 'f.toml:2: text = "b = "2"; must be valid TOML; '),
        ("a = 1\n\ndisplacement 427\n", 'f.toml:3: text = "displacement 427"; must be valid TOML'),
        ("a = 1\na = 2\n", 'f.toml:2: text = "a = 2"; must be valid TOML; Cannot overwrite'),
        ("a = [1,\n2,\n", "f.toml:2: text = "),
        ("a = " + "[" * 5000, "f.toml"),
        ("a = " + "9" * 5000, 'f.toml:1: text = "a = 999'),
        ("a = 1979-13-01\n", "f.toml:1: text = "),
        ("a = \x01", 'f.toml:1: text = "a = ?"'),
    ],
)
def test_parse_toml_names_the_bad_line(text: str, start: str) -> None:
    with pytest.raises(InputError, match="must be valid TOML") as caught:
        parse_toml(text, "f.toml")
    message = str(caught.value)
    assert message.startswith(start)
    assert len(message) < 300
    assert message.isprintable()


def test_read_toml_takes_mark_and_line_endings_of_other_systems(tmp_path: Path) -> None:
    file = tmp_path / "build.toml"
    file.write_bytes(b'\xef\xbb\xbfname = "a"\r\n[engine]\r\nbore = "4 in"\r\n')
    read = read_toml(file)
    assert read.data == {"name": "a", "engine": {"bore": "4 in"}}
    assert read.where(("engine", "bore")) == f"{file}:3"
    assert read.where(("engine", "stroke")) == f"{file}:2"
    assert "lines" not in repr(read)


@pytest.mark.parametrize(
    ("content", "reason"),
    [
        (None, "there is no such file"),
        ("directory", "it is a directory"),
        (b"a = 1\0", "it is binary"),
        (b"a = 1\nb = '\xff'", "line 2 is not UTF-8"),
        (b"#" * (4 * 1024 * 1024 + 1), "it is larger than 4 MiB"),
    ],
)
def test_read_toml_names_the_bad_file(
    tmp_path: Path, content: bytes | str | None, reason: str
) -> None:
    file = tmp_path / "build.toml"
    if content == "directory":
        file.mkdir()
    elif isinstance(content, bytes):
        file.write_bytes(content)
    with pytest.raises(InputError) as caught:
        read_toml(file)
    assert str(caught.value) == f'file = "{file}"; must be a TOML text file; {reason}' + (
        "; save it as UTF-8" if "UTF" in reason else ""
    )


def test_read_toml_refuses_what_is_no_file(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    for bad in (pipe, "a\0b", tmp_path / ("x" * 5000)):
        with pytest.raises(InputError, match="must be a TOML text file"):
            read_toml(bad)


def test_empty_file_has_no_keys(tmp_path: Path) -> None:
    file = tmp_path / "empty.toml"
    file.write_bytes(b"")
    assert read_toml(file).data == {}
