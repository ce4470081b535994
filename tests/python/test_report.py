"""The report in HTML: complete, self-contained, escaped, written in one step."""

import csv
import json
import re
from collections import Counter
from html.parser import HTMLParser
from pathlib import Path

import pytest
import tinycss2
from markupsafe import escape

import airchain
import scenario
from airchain.chain import Ladder
from airchain.report.blocks import Section, bullets, said_once, table, words
from airchain.report.document import css_text
from airchain.report.report import Document, Report
from airchain.shown.tables import Table


@pytest.fixture(scope="module")
def full() -> airchain.Build:
    return scenario.full()


@pytest.fixture(scope="module")
def steps() -> Ladder:
    return scenario.steps()


@pytest.fixture(scope="module")
def report(steps: Ladder) -> Report:
    return short_report(steps.build, steps)


@pytest.fixture(scope="module")
def document(report: Report) -> str:
    return report.workshop.html


@pytest.fixture(scope="module")
def owner(report: Report) -> str:
    return report.owner.html


def short_report(build: airchain.Build, steps: Ladder | None = None) -> Report:
    """A report of the chain alone, without plan, fuel and calibration."""
    return airchain.make_report(build, steps=steps, complete=False)


def page_of(build: airchain.Build, steps: Ladder | None = None) -> str:
    """Its documents, one after the other."""
    made = short_report(build, steps)
    return made.owner.html + made.workshop.html


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


@pytest.mark.parametrize("kind", ["owner", "workshop"])
def test_needs_nothing_from_elsewhere(report: Report, kind: str) -> None:
    document = getattr(report, kind).html
    links = re.findall(r"""(?:href|src|data)=["']([^"'#][^"']*)""", document)
    assert links == []
    assert re.findall(r"url\((?!#)[^)]*\)", document) == []
    names = re.findall(r"https?://[^\s\"']+", document)
    assert all(name.startswith("http://www.w3.org/") for name in names), "names of XML alone"
    assert "<script" not in document
    assert "@import" not in document


@pytest.mark.parametrize("kind", ["owner", "workshop"])
def test_tags_close_in_order(report: Report, kind: str) -> None:
    document = getattr(report, kind).html
    tags = Tags()
    tags.feed(document)
    assert (tags.faults, tags.open) == ([], [])


@pytest.mark.parametrize("kind", ["owner", "workshop"])
def test_ids_are_unique(report: Report, kind: str) -> None:
    document = getattr(report, kind).html
    counted = Counter(re.findall(r'\bid="([^"]+)"', document))
    assert counted
    assert [name for name, number in counted.items() if number > 1] == []


@pytest.mark.parametrize("kind", ["owner", "workshop"])
def test_every_reference_inside_finds_its_id(report: Report, kind: str) -> None:
    document = getattr(report, kind).html
    known = set(re.findall(r'\bid="([^"]+)"', document))
    used = set(re.findall(r'href="#([^"]+)"|url\(#([^)]+)\)', document))
    assert {a or b for a, b in used} <= known


def test_says_that_the_build_is_invented(report: Report, full: airchain.Build) -> None:
    assert full.invented
    for document in (report.owner.html, report.workshop.html):
        assert "Invented: this build stands for no real car" in document


def test_holds_the_ladder_cautions_and_inputs(document: str, steps: Ladder) -> None:
    for cells in steps.rows().values():
        assert all(f"<td>{cell}</td>" in document for cell in cells)
    for word in ("overspeed", "methanol", "Knock", "licensed", "rule book", "carbon monoxide"):
        assert word in document
    assert "4.125 in" in document
    assert "@media print" in document


def test_tells_the_drive_and_the_tank(document: str) -> None:
    assert document.count("drive at 7,000 rpm") == 3
    assert "Against the clock" not in document
    build = scenario.iced(of=scenario.typed()).replace({"report.pull_rate": "250 rpm/s"})
    iced = page_of(build)
    assert "Against the clock" in iced
    assert iced.count("250 rpm/s for") in (3, 6)
    assert 'class="turned"' not in iced, "a book is read upright"
    assert "The ice tank through a pull against time" in iced


def test_text_of_the_build_is_escaped() -> None:
    changes = {"build.notes": "<script>alert(1)</script>", "build.name": "A & <b>"}
    build = scenario.bare().replace(changes)
    document = page_of(build)
    assert "<script" not in document
    assert "&lt;script&gt;" in document
    assert "A &amp; &lt;b&gt;" in document


NASTY = "</style><b onload='x'>\\\"; } @import 'a'; \u00fc \U0001f527 */"


def test_whose_it_is_is_escaped_in_text_and_style() -> None:
    whose = dict.fromkeys(("customer", "workshop", "date", "reference"), NASTY)
    build = scenario.bare().replace({f"report.{n}": text for n, text in whose.items()})
    document = short_report(build).owner.html
    assert document.partition("<body>")[0].count("</style>") == 1
    assert "<b " not in document
    assert "@import '" not in document.partition("</style>")[0]
    assert document.count(str(escape(NASTY))) >= 4
    tags = Tags()
    tags.feed(document)
    assert (tags.faults, tags.open) == ([], [])


@pytest.mark.parametrize("text", [NASTY, 'a "b" \\ c', "", "plain 7"])
def test_text_in_a_style_sheet_reads_back_as_it_was(text: str) -> None:
    (token,) = tinycss2.parse_component_value_list(css_text(text))
    assert (token.type, token.value) == ("string", text)


def test_who_typed_nothing_is_not_named() -> None:
    whose = dict.fromkeys(f"report.{n}" for n in ("customer", "workshop", "date", "reference"))
    document = page_of(scenario.bare().replace(whose))
    assert '<dl class="whose">' not in document
    assert 'name="author"' not in document


def test_contents_lead_to_every_part(document: str) -> None:
    (contents,) = re.findall(r"<nav>.*?</nav>", document, re.DOTALL)
    named = re.findall(r'href="#([^"]+)"', contents)
    assert named == re.findall(r'<section id="([^"]+)"', document)
    assert {"levels", "map", "stations", "drive", "cautions", "inputs"} <= set(named)
    assert "weather" not in named, "no days were given"


def test_first_page_stands_alone(owner: str, steps: Ladder) -> None:
    first = owner.partition("<nav>")[0]
    for step in steps.steps:
        (power, rpm), (torque, _) = step.pull.peak("power", "hp"), step.pull.peak("torque", "lb ft")
        assert step.name in first
        for figure in (power, rpm, torque):
            assert f"<td>{figure:,.0f}</td>" in first
    assert "boost at 7,000 rpm" in first
    assert "33/40 teeth" in first
    assert "One gear pair, fitted either way round, serves tame and full." in first
    assert first.count("<svg") == 1
    assert first.count("<li>") == 3, "the cautions"


def test_a_limit_that_is_passed_comes_first() -> None:
    build = scenario.typed().level("full").replace({"compressor.rotor_speed_limit": "40000 rpm"})
    first = page_of(build).partition("<nav>")[0]
    before, _, _ = first.partition("Figures of a model")
    assert "full: The impeller turns faster than its maker allows. Do not run it." in before
    assert "tame: The impeller" not in before


def test_without_a_compressor_nothing_is_said_of_one() -> None:
    document = page_of(scenario.bare())
    assert 'id="map"' not in document
    assert 'id="drive"' not in document
    assert "overspeeds the impeller" not in document.partition("<nav>")[0]


def test_stations_are_told_at_both_speeds(document: str, report: Report) -> None:
    assert "Ridge Road, full at 7,000 rpm: solved." in document
    rpm = scenario.steps()["full"].pull.peak("power", "hp")[1]
    captions = [table.caption for table in report.tables.values()]
    assert "Ridge Road, full at 7,000 rpm, powers and margins" in captions
    assert f"Ridge Road, full at {rpm:,.0f} rpm, powers and margins" in captions


@pytest.mark.parametrize(("sheet", "most"), [(False, 115), (True, 152)])
def test_wide_tables_lose_no_column(sheet: bool, most: int) -> None:
    headings = [f"column{i:02}" for i in range(60)]
    rows = [[str(100 * i + j) for j in range(60)] for i in range(3)]
    pieces = list(table(Table(headings, [""] * 60, rows, "A wide one"), sheet=sheet))
    assert len(pieces) == -(-(60 - 1) * 10 // (most - 10))
    seen = [re.findall(r'<th scope="col"[^>]*>([^<]+)</th>', piece) for piece in pieces]
    assert all(columns[0] == "column00" for columns in seen)
    assert [name for columns in seen for name in columns[1:]] == headings[1:]
    assert max(map(len, seen)) - min(map(len, seen)) <= 1


def test_words_break_before_a_table_stands_in_pieces() -> None:
    long = "some words that go on and on, "
    rows = [[long, long, long, long, "1"]]
    headings = ["a", "b", "c", "d", "e"]
    (piece,) = table(Table(headings, [""] * 5, rows, "Words", "", (0, 1, 2, 3)))
    assert 'class="scroll whole tight wide"' in piece
    (narrow,) = table(Table(["a", "b"], ["", ""], [["x", "1"]], "Two"))
    assert 'class="scroll whole"' in narrow


def test_inputs_are_folded_and_their_file_is_named(document: str, report: Report) -> None:
    folded = document.partition('<details class="folded">')[2]
    assert "4.125 in" in folded
    (name,) = (name for name in report.tables if name.startswith("inputs"))
    assert f"They stand among the tables in {name}." in document


@pytest.fixture(scope="module")
def asked(steps: Ladder) -> Report:
    """The same report, made once more, with all that is there only when asked for."""
    return airchain.make_report(
        steps.build, steps=steps, complete=False, print_tables=True, live="it's <live>.html"
    )


def test_same_build_gives_the_same_file_but_for_what_is_asked(
    asked: Report, report: Report, tmp_path: Path
) -> None:
    book = asked.workshop.html
    for more in (
        r'<p>Sliders .*?<a class="live" href="it%27s%20%3Clive%3E\.html">.*?</p>\n',
        r'<li><a href="#tables">.*?</li>\n',
        r'<section id="tables" class="fresh">.*?</section>\n',
    ):
        book, count = re.subn(more, "", book, flags=re.DOTALL)
        assert count == 1
    path = Document(book).write(tmp_path / "a.html")
    # Where the columns of the contents part follows from how many parts there are.
    one, other = (
        re.sub(r"(?:</ol>\n)?<ol start[^>]*>", "", html)
        for html in (path.read_text(), report.workshop.html)
    )
    assert one == other
    assert [p.name for p in tmp_path.iterdir()] == ["a.html"]
    assert asked.owner == report.owner
    assert asked.build.level_name == "full"


def test_tables_are_printed_only_when_asked(asked: Report, report: Report) -> None:
    assert 'id="tables"' not in report.workshop.html
    assert asked.workshop.html.count('class="sheet"') >= len(report.tables) - 1


def test_every_level_is_a_table_with_the_numbers_of_its_pull(
    report: Report, tmp_path: Path
) -> None:
    files = report.tables
    written = files.write(tmp_path / "tables")
    assert [path.stem for path in written] == [*files, "tables"]
    pull = scenario.steps()["full"].pull
    (name,) = (name for name in files if name.endswith("full_over_engine_speed"))
    with (tmp_path / "tables" / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        heads, units, *rows = list(csv.reader(file))
    assert len(rows) == len(pull.rpm)
    rpm = [float(row[heads.index("engine speed")]) for row in rows]
    assert rpm == pytest.approx(pull.rpm, abs=0.5)
    assert units[heads.index("engine speed")] == "rpm"
    told = json.loads((tmp_path / "tables" / "tables.json").read_text(encoding="utf-8"))
    assert told["build_fingerprint"] == scenario.steps().build.fingerprint
    assert told["tables"][name]["rows"] == rows


def test_the_inputs_are_among_the_tables(report: Report) -> None:
    (name,) = (name for name in report.tables if name.startswith("inputs"))
    typed = {row[0]: row[1] for row in report.tables[name].rows}
    assert typed == dict(scenario.steps().build.inputs)


def test_names_the_bad_input_of_a_place_that_is_none(steps: Ladder, tmp_path: Path) -> None:
    with pytest.raises(airchain.InputError, match="must be a file that can be written"):
        Document("<p>").write(tmp_path / "missing" / "a.html")
    with pytest.raises(airchain.InputError, match=r"must end in \.html or \.pdf"):
        Document("<p>").write(tmp_path / "a.docx")
    with pytest.raises(airchain.InputError, match='paper = "A5"; must be A4 or Letter'):
        Document("<p>").write(tmp_path / "a.pdf", paper="A5")
    (tmp_path / "folder.html").mkdir()
    with pytest.raises(airchain.InputError, match="must be a file that can be written"):
        Document("<p>").write(tmp_path / "folder.html")
    assert [p.name for p in tmp_path.iterdir()] == ["folder.html"]


def test_names_the_bad_input_of_whose_it_is(full: airchain.Build) -> None:
    with pytest.raises(airchain.InputError, match=r"report\.customer = 7; must be text in quotes"):
        full.replace({"report.customer": 7})
    with pytest.raises(airchain.InputError, match=r"report\.costumer.*customer"):
        full.replace({"report.costumer": "Anybody"})


def test_what_several_parts_say_stands_once() -> None:
    often, once = "Margins are estimates.", "Look at friction first."
    parts = [
        Section("levels", "Levels", [words(often), *bullets([f"tame, full: {often}", once])]),
        Section("knock", "Knock", bullets([often])),
        Section("plan", "Plan", [*bullets(["tame: " + once, often]), words("Buy.")]),
        Section("order", "Order", bullets(["full: Check the belt."])),
    ]
    told, left = said_once(parts)
    assert told == [once, often]
    assert [part.key for part in left] == [part.key for part in parts]
    assert left[0].blocks == [words(often)], "what is no list stays"
    assert left[1].blocks == []
    assert left[2].blocks == [words("Buy.")]
    assert left[3].blocks == parts[3].blocks


def test_what_holds_throughout_leads_the_book(document: str, steps: Ladder) -> None:
    again = {n for step in steps.steps for n in step.pull.notes} & {*steps.notes}
    assert again, "else nothing was to be told once"
    lead = document.partition('id="throughout"')[2].partition("</section>")[0]
    assert re.findall(r"<li>", lead)
    for note in re.findall(r"<li>(.*?)</li>", lead):
        assert document.count(f"<li>{note}</li>") == 1, note


def test_a_key_stays_with_its_table() -> None:
    short = Table(["a"], [""], [["1"]], "Short", key="What it means.")
    (block,) = table(short)
    assert block.startswith('<div class="whole"><div class="scroll')
    assert block.endswith('<p class="key">What it means.</p></div>')
    long = short._replace(rows=[["1"]] * 60)
    assert list(table(long))[-1] == words("What it means.", "key")
