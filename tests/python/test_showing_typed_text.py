"""What somebody typed is shown as it stands: in a terminal, a page and a picture, and no more."""

import io

import pytest

import airchain
import scenario
from airchain.base.errors import quoted
from airchain.base.safe_text import REPLACEMENT, safe
from airchain.shown.plot_style import new_figure
from airchain.shown.tables import html_list, html_table

# Unicode 15, chapter 23 and annex 9: controls, and marks that change the direction of writing.
HIDDEN = (
    "\x1b",
    "\x07",
    "\x00",
    "\x85",
    "\u202e",
    "\u2066",
    "\u200f",
    "\u061c",
    "\u2028",
    "\ufeff",
)


@pytest.mark.parametrize("mark", HIDDEN)
def test_hidden_characters_are_replaced(mark: str) -> None:
    assert safe(f"a{mark}b") == f"a{REPLACEMENT}b"
    assert quoted(f"a{mark}b") == '"a?b"'


def test_what_can_be_read_stays() -> None:
    plain = "Ridge \u00fc \u00bd \u2013 \u4e2d\u6587 \u0627\u0644\nnext line $5 <b>"
    assert safe(plain) == plain
    assert safe("a\tb\u00a0c") == "a b c"


def test_a_name_with_hidden_characters_reaches_neither_terminal_nor_page() -> None:
    name = "Red\x1b[31m\u202eegdiR"
    build = scenario.aspirated().replace({"build.name": name, "build.notes": name})
    pull = build.pull([3000, 5000])
    report = airchain.make_report(build, complete=False)
    for text in (
        repr(pull),
        pull._repr_html_(),
        repr(build),
        report.owner.html,
        report.workshop.html,
    ):
        assert "\x1b" not in text
        assert "\u202e" not in text
        assert REPLACEMENT in text


def test_pages_escape_what_they_make_safe() -> None:
    assert html_list(["<\x07>"]) == f"<ul><li>&lt;{REPLACEMENT}&gt;</li></ul>"
    assert "\u202e" not in html_table(["a\u202e"], [""], [["\u202e"]], "\u202e")


@pytest.mark.parametrize("name", ["$x_1$", "a $ b $ c", r"\$7", "$\\frac{1}$"])
def test_dollar_signs_in_a_picture_start_no_formula(name: str) -> None:
    figure, axes = new_figure(3.0, 2.0)
    axes.plot([0, 1], label=name)
    axes.set_title(name)
    axes.legend()
    figure.savefig(io.BytesIO(), format="svg")
    title = name.replace(r"\$", "$")
    assert axes.get_title() == title
    assert not axes.title.get_parse_math()
    assert not axes.get_legend().get_texts()[0].get_parse_math()


def test_a_report_of_a_level_with_dollar_signs_is_made() -> None:
    build = scenario.steps().build
    renamed = build.replace({"build.name": "$\\frac{1}$ and $x^"})
    assert "\\frac" in airchain.make_report(renamed, complete=False).workshop.html
