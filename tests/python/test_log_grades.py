"""The reader is graded on logs whose truth is known: nothing may be wrong without a word of it."""

import re
from collections import Counter
from pathlib import Path

import numpy as np
import pytest

import airchain
from airchain import InputError
from airchain.cli.log_options import put_setting
from airchain.measured import guess_mapping
from log_cases import CASES
from log_generator import OBSERVED, RPM, SPEED, Case, Column, grade, text

GOOD = ("right", "asked rightly", "refused clearly")
#: What each log was graded, by its case's name.
GRADES: dict[str, tuple[str, str]] = {}


def graded(one: Case, folder: Path) -> tuple[str, str]:
    """A log's grade and what was said of it, read once."""
    if one.name not in GRADES:
        GRADES[one.name] = grade(one, folder)
    return GRADES[one.name]


@pytest.mark.parametrize("one", CASES, ids=[case.name for case in CASES])
def test_log_is_read_asked_about_or_refused_as_it_must_be(one: Case, tmp_path: Path) -> None:
    found, said = graded(one, tmp_path)
    # A sensor that fails cannot be mended by a reader; it must be named.
    allowed = (*GOOD, "wrong but flagged") if one.expect == "flag" else GOOD
    assert found in allowed, f"{found}: {said}"


def test_there_are_enough_logs_and_few_of_them_are_asked_about(tmp_path: Path) -> None:
    """At most 30 % of the logs that are not fully labelled are asked about, none of the others."""
    assert len(CASES) >= 100
    assert len({case.name for case in CASES}) == len(CASES)
    grades = {case.name: graded(case, tmp_path)[0] for case in CASES}
    counts = Counter(grades.values())
    assert not counts["wrong without a flag"]
    assert not any(grades[c.name].startswith(("asked", "refused")) for c in CASES if c.labelled)
    readable = [c for c in CASES if not c.labelled and c.expect in ("right", "flag")]
    asked = sum(grades[c.name].startswith(("asked", "refused")) for c in readable)
    assert asked <= 0.3 * len(readable)


def test_a_smooth_turn_is_no_end_of_a_sensor(tmp_path: Path) -> None:
    """Rounding holds a steady mixture at its leanest for some rows; a sensor at its end is told."""
    mixture = 0.83 + 0.0025 * (RPM / 1000.0 - 5.0) ** 2
    for low, told in ((0.0, False), (0.8330, True)):
        values = np.round(np.maximum(mixture, low), 3)
        path = tmp_path / "log.csv"
        path.write_text(text((SPEED, OBSERVED, Column("Lambda", values, 3))))
        findings = " ".join(airchain.read_pulls(path).all_findings)
        assert ("sensor at its end" in findings) == told, findings


#: What a question suggests, as it stands in its words; the key is its own where none is named.
SUGGESTED = (
    re.compile(r"such as (?P<key>[a-z_]+\.[\w.]+) = (?P<value>\"[^\"]*\"|\d+)"),
    re.compile(r"did the log mean (?P<value>\"[^\"]*\")"),
    re.compile(r"set (?P<key>[\w.]+) = (?P<value>\"[^\"]*\"|\[\"[^\"]*\"\])"),
    re.compile(r"one of the columns (?P<value>\d+)"),
    re.compile(r"must be (?:one of )?(?P<value>\"[^\"]*\"|observed|1\b)"),
    re.compile(r"such as (?P<value>\"[^\"]*\"|[\d.]+)"),
    re.compile(r"= (?P<value>\"[^\"]*\") in the heading"),
)


def answered(question: str) -> str:
    """The first answer that a question suggests, as ``KEY=VALUE``."""
    own = question.split(" = ")[0].rpartition(": ")[2]
    for pattern in SUGGESTED:
        match = pattern.search(question)
        if match:
            named = match.groupdict().get("key") or own
            return f"{named}={match['value']}"
    raise AssertionError(f"suggests nothing: {question}")


@pytest.mark.parametrize(
    "one", [c for c in CASES if c.expect == "ask"], ids=[c.name for c in CASES if c.expect == "ask"]
)
def test_the_answer_that_a_question_suggests_leads_on(one: Case, tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_bytes(one.content)
    given: dict[str, object] = {}
    seen: set[str] = set()
    for _ in range(8):
        try:
            airchain.read_pulls(path, given)
            return
        except InputError as error:
            question = str(error).split("\n")[0]
            if "column of engine speed" in question:
                return  # no column is left to be suggested
            assert question not in seen, f"asked again after {given}: {question}"
            seen.add(question)
            put_setting(given, answered(question))
    raise AssertionError(f"asked more than eight questions: {given}")


@pytest.mark.parametrize("name", ["tame.csv", "middle.csv", "full.txt"])
def test_logs_of_the_demo_ask_nothing(name: str, root: Path) -> None:
    path = root / "demo" / "pulls" / name
    assert guess_mapping(path).questions == ()
    assert len(airchain.read_pulls(path)) >= 1


def print_grades() -> None:
    """Print how many logs got which grade, and every one that is not as it must be."""
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        grades = {case.name: grade(case, Path(folder)) for case in CASES}
    for name, (found, said) in grades.items():
        if found not in GOOD:
            print(f"{found}: {name}: {said}")
    print(f"{len(CASES)} logs: {dict(Counter(found for found, _ in grades.values()))}")


if __name__ == "__main__":
    print_grades()
