"""The report as PDF: every page, its text and its paper, and what is said where it cannot be."""

import io
import re
import sys
import types
from functools import cache
from pathlib import Path

import matplotlib.pyplot as plt
import pypdf
import pytest
import weasyprint

import scenario
from airchain.report import pdf
from airchain.report.blocks import as_svg
from airchain.report.pdf_text import with_text
from airchain.report.printed_units import printed_units
from airchain.report.report import Document, Report, make_report
from airchain.shown.lean_svg import glyphs_once

NAME = 'A "Hill" <b>Club</b> & Sons'
#: Width and height in points of 1/72 in: ISO 216, and 8.5 in by 11 in.
SIZES = {"A4": (210 / 25.4 * 72, 297 / 25.4 * 72), "Letter": (612.0, 792.0)}


@cache
def made() -> Report:
    """A short report that says whose it is."""
    whose = {"report.customer": NAME, "report.date": "1 May 2031", "report.reference": "R-7"}
    return make_report(scenario.bare().replace(whose), complete=False)


@cache
def whole() -> list[str]:
    """The pages of the report of all levels."""
    made = make_report(scenario.steps().build, steps=scenario.steps(), complete=False)
    pages = pypdf.PdfReader(io.BytesIO(made.workshop.pdf())).pages
    return [page.extract_text() for page in pages]


@cache
def read(document: str, paper: str) -> pypdf.PdfReader:
    """One of its documents as PDF on a paper."""
    return pypdf.PdfReader(io.BytesIO(getattr(made(), document).pdf(paper)))


@pytest.mark.parametrize("paper", SIZES)
def test_is_set_on_its_paper_with_the_first_page_alone(paper: str) -> None:
    owner, book = read("owner", paper).pages, read("workshop", paper).pages
    assert len(owner) >= 2
    assert len(book) > 3
    for page in (*owner, *book):
        size = float(page.mediabox.width), float(page.mediabox.height)
        assert sorted(size) == pytest.approx(SIZES[paper], abs=0.1)
    first = owner[0].extract_text()
    assert NAME in first
    assert "Only the fuel named here" in first
    assert all("Contents" not in page.extract_text() for page in owner)
    assert "Contents" in book[0].extract_text()


def test_pages_are_numbered_headed_and_found_from_the_contents() -> None:
    texts = [page.extract_text() for page in read("workshop", "A4").pages]
    for number, text in enumerate(texts, 1):
        assert f"page {number} of {len(texts)}" in text
        assert "1 May 2031" in text
        assert ("Ridge Road · workshop book · invented" in text) == (number > 1)
    told = dict(re.findall(r"([A-Z][a-z ,]+?) ?\.{3,} ?(\d+)", texts[0]))
    assert {"Power levels", "Along the stations", "Inputs as typed"} <= set(told)
    for title, page in told.items():
        assert title in texts[int(page) - 1], title


@pytest.mark.slow
def test_no_page_is_left_nearly_empty_and_no_heading_ends_one() -> None:
    for text in whole():
        lines = text.strip().splitlines()
        assert len(lines) > 4, text
        titles = {"Cautions", "Assumptions", "Sources", "Compressor map", "Power levels"}
        assert not titles & set(lines[-3:]), text


def test_is_the_same_for_the_same_report() -> None:
    short = Document("<!DOCTYPE html><title>a</title><h1>Report</h1>")
    assert short.pdf() == short.pdf()


def test_asks_for_nothing_from_elsewhere(tmp_path: Path) -> None:
    page = tmp_path / "a.png"
    page.write_bytes(b"no picture")
    asking = Document(f'<!DOCTYPE html><title>a</title><img src="{page.as_uri()}">')
    with pytest.raises(weasyprint.urls.FatalURLFetchingError, match="Error fetching"):
        asking.pdf()


def test_nothing_half_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "a.pdf"
    path.write_text("what was there")

    def breaks(html: str, paper: str) -> bytes:
        raise MemoryError

    monkeypatch.setattr("airchain.report.report.as_pdf", breaks)
    with pytest.raises(MemoryError):
        Document("<p>").write(path)
    assert path.read_text() == "what was there"
    assert [p.name for p in tmp_path.iterdir()] == ["a.pdf"]


def test_says_which_system_library_is_missing(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    def lacking(name: str) -> types.ModuleType:
        raise OSError("cannot load library 'libpango-1.0-0'")

    monkeypatch.setattr(pdf, "extra", lacking)
    with pytest.raises(OSError, match=r"apt-get install libpango-1\.0-0") as told:
        Document("<p>").write(tmp_path / "a.pdf")
    assert "cannot load library" in str(told.value)
    assert list(tmp_path.iterdir()) == []


def test_the_html_does_without_it(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setitem(sys.modules, "weasyprint", None)
    assert Document("<p>").write(tmp_path / "a.html").read_text() == "<p>"
    with pytest.raises(ModuleNotFoundError, match=r'pip install "airchain\[pdf\]"'):
        Document("<p>").write(tmp_path / "a.pdf")


def test_letters_of_pictures_are_text_in_the_pdf() -> None:
    figure, axes = plt.subplots()
    axes.set_xlabel("Charge temperature  [°F], 1,029 & more ± 5 in³")
    axes.set_ylabel("efficiency of the flow")
    drawn = glyphs_once(f"<body>{as_svg(figure, 'letters')}</body>")
    drawn = drawn.partition("</svg>")[0]
    plt.close(figure)
    again = with_text(drawn)
    assert ">Charge temperature  [°F], 1,029 &amp; more ± 5 in³</text>" in again
    assert re.search(r"<text [^>]*rotate\(-90\)[^>]*>efficiency of the flow</text>", again)
    assert "#g-" in drawn
    assert "#g-" not in again


def test_units_stand_as_print_has_them() -> None:
    assert printed_units("65 degF, 20 degC, 427 in^3, 16 cm^2") == "65 °F, 20 °C, 427 in³, 16 cm²"
    assert printed_units("12 deg of 360 degrees, 2^3, x^25") == "12 deg of 360 degrees, 2^3, x^25"
