"""The report names what is wrong with a pull that does not agree, and only of such a pull."""

import html
import re

import numpy as np
import pytest

import airchain
from airchain.report.report import Report
from fitted import both, pull
from synthetic_pulls import build


def floating() -> airchain.MeasuredPull:
    """A pull whose torque falls and whose boost rises at the top."""
    read = pull("full", 11)
    over = np.clip((read.rpm - 5900.0) / 1500.0, 0.0, 1.0)
    return read.with_columns(
        torque=read["torque"] * (1.0 - 0.22 * over),
        air_flow=read["air_flow"] * (1.0 - 0.17 * over),
        plenum_pressure=read["plenum_pressure"] + 16e3 * over,
    )


@pytest.fixture(scope="module")
def made() -> Report:
    """The report of a pull that does not agree, and of one that does."""
    predicted = airchain.predict(both(), "full")
    told = [predicted.compare(read) for read in (floating(), pull("full", 11))]
    return airchain.make_report(build(), both(), told)


@pytest.fixture(scope="module")
def faulty(made: Report) -> str:
    return made.workshop.html


def plain(document: str) -> str:
    return html.unescape(re.sub(r"<[^>]+>", " ", document))


def test_the_fault_is_named_with_its_check_and_caution(faulty: str) -> None:
    text = plain(faulty)
    assert "independent chain, full: what is wrong with the pull" in text
    assert "the valves float at the top end" in text
    assert "Measure the valve springs' seat and open loads" in text
    assert "Do not run above the speed where it begins" in text
    assert "would show from" in text
    assert "Nothing is taken apart on a chance" in " ".join(text.split())


def test_the_first_page_says_it_too(made: Report) -> None:
    first = plain(made.owner.html.partition("<nav>")[0])
    assert "the valves float at the top end" in first
    assert ".." not in first
    assert "at all speeds alike" not in first


def test_the_verdict_is_that_of_the_diagnosis(faulty: str) -> None:
    told = airchain.diagnose(both(), floating(), "full")
    assert told.named is not None
    assert told.named.name == "valves_floating"
    assert told.verdict in " ".join(plain(faulty).split())


def test_a_pull_that_agrees_is_not_diagnosed(faulty: str) -> None:
    assert faulty.count("what is wrong with the pull") == 1
    assert faulty.count("the pull agrees with what was predicted") >= 1
