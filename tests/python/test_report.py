"""The HTML summary: complete, self-contained, escaped, written in one step."""

import re
from collections import Counter
from html.parser import HTMLParser
from pathlib import Path

import pytest

import airchain
import scenario
from airchain.report import report_html


@pytest.fixture(scope="module")
def full() -> airchain.Build:
    return scenario.full()


@pytest.fixture(scope="module")
def steps() -> airchain.Ladder:
    return scenario.steps()


@pytest.fixture(scope="module")
def document(steps: airchain.Ladder) -> str:
    return report_html(steps.build, steps)


class Tags(HTMLParser):
    """Tags that are open, so that a document that closes wrongly is noticed."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.faults: list[str] = []

    def handle_starttag(self, tag: str, attrs: object) -> None:
        if tag not in ("meta", "br", "hr", "img", "link"):
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.faults.append(tag)


def test_needs_nothing_from_elsewhere(document: str) -> None:
    links = re.findall(r"""(?:href|src)=["']([^"'#][^"']*)""", document)
    assert links == []
    assert "<script" not in document
    assert "@import" not in document


def test_tags_close_in_order(document: str) -> None:
    tags = Tags()
    tags.feed(document)
    assert (tags.faults, tags.open) == ([], [])


def test_ids_are_unique(document: str) -> None:
    counted = Counter(re.findall(r'\bid="([^"]+)"', document))
    assert counted
    assert [name for name, number in counted.items() if number > 1] == []


def test_every_reference_inside_finds_its_id(document: str) -> None:
    known = set(re.findall(r'\bid="([^"]+)"', document))
    used = set(re.findall(r'href="#([^"]+)"|url\(#([^)]+)\)', document))
    assert {a or b for a, b in used} <= known


def test_says_that_the_build_is_invented(document: str, full: airchain.Build) -> None:
    assert full.invented
    assert "Invented: this build stands for no real car" in document


def test_holds_the_ladder_cautions_and_inputs(document: str, steps: airchain.Ladder) -> None:
    for cells in steps.rows().values():
        assert all(f"<td>{cell}</td>" in document for cell in cells)
    for word in ("overspeed", "methanol", "Knock", "licensed", "rule book", "carbon monoxide"):
        assert word in document
    assert "4.125 in" in document
    assert "@media print" in document


def test_tells_the_drive_and_the_tank(document: str) -> None:
    assert document.count("drive at 7,000 rpm") == 3
    assert "Against the clock" not in document
    build = scenario.iced().replace({"report.pull_rate": "250 rpm/s"})
    iced = report_html(build)
    assert "Against the clock" in iced
    assert iced.count("250 rpm/s for") == 3
    assert "The ice tank through a pull against time" in iced


def test_text_of_the_build_is_escaped(full: airchain.Build) -> None:
    build = full.replace({"build.notes": "<script>alert(1)</script>", "build.name": "A & <b>"})
    document = report_html(build)
    assert "<script" not in document
    assert "&lt;script&gt;" in document
    assert "A &amp; &lt;b&gt;" in document


def test_same_build_gives_the_same_file(
    steps: airchain.Ladder, document: str, tmp_path: Path
) -> None:
    path = airchain.write_report(steps.build, tmp_path / "a.html", steps)
    assert path.read_text() == document
    assert [p.name for p in tmp_path.iterdir()] == ["a.html"]


def test_names_the_bad_input_of_a_place_that_is_none(
    steps: airchain.Ladder, tmp_path: Path
) -> None:
    with pytest.raises(airchain.InputError, match="must be a file that can be written"):
        airchain.write_report(steps.build, tmp_path / "missing" / "a.html", steps)
    assert list(tmp_path.iterdir()) == []
