"""The examples of docstrings run and print what they say."""

import doctest
import importlib
import pkgutil
from pathlib import Path

import pytest

import airchain
import scenario

FINDER = doctest.DocTestFinder(exclude_empty=True)


def examples() -> list[doctest.DocTest]:
    """Every docstring of the package that holds an example."""
    found: dict[str, doctest.DocTest] = {}
    for info in pkgutil.walk_packages(airchain.__path__, "airchain."):
        if info.name.endswith(("__main__", "_core")):
            continue
        module = importlib.import_module(info.name)
        for test in FINDER.find(module, module=module):
            if test.examples:
                found.setdefault(test.name, test)
    return list(found.values())


EXAMPLES = examples()
#: A drive on the track of every level, a plan, and whole reports: each has tests of its own.
LONG = {
    "airchain.plan.planner.plan_levels",
    "airchain.report.report.Document",
    "airchain.report.table_files.TableFiles",
    "airchain.track.driving.track_runs",
}


def test_there_are_examples_and_none_is_left_out() -> None:
    assert len(EXAMPLES) >= 10
    assert {test.name for test in EXAMPLES} >= LONG
    skipped = [e.source for t in EXAMPLES for e in t.examples if doctest.SKIP in e.options]
    assert skipped == []


@pytest.mark.parametrize("test", [
    pytest.param(test, marks=[pytest.mark.slow] if test.name in LONG else []) for test in EXAMPLES
], ids=[test.name for test in EXAMPLES])  # fmt: skip
def test_example_prints_what_it_says(
    test: doctest.DocTest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    build = airchain.load(scenario.FILE)  # the build that examples speak of
    monkeypatch.chdir(tmp_path)
    test.globs |= {"airchain": airchain, "build": build}
    told: list[str] = []
    runner = doctest.DocTestRunner(optionflags=doctest.NORMALIZE_WHITESPACE)
    runner.run(test, out=told.append, clear_globs=False)
    assert runner.summarize(verbose=False).failed == 0, "".join(told)
