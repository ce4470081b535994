"""Which test files are run where, and which begin first, so that little is made twice.

A file's tests stay in one worker. Files that ask for the same plans, knock limits and pulls of the
demo stay in one too: what was searched is kept in that process. The dearest begin first, so that no
long file runs alone at the end.
"""

from __future__ import annotations

from pathlib import PurePath

import pytest
from xdist.remote import Producer
from xdist.scheduler import LoadFileScheduling

#: Files that ask the demo's chain the same.
TOGETHER = (
    "test_regearing",
    "test_planning",
    "test_plan_cost",
    "test_plan_bypass",
    "test_plan_bad_input",
    "test_calibration",
    "test_calibration_files",
    "test_report",
    "test_weather_days",
    "test_weather",
    "test_glossary",
    "test_showing_typed_text",
)
#: Then files of more than some ten seconds, the dearest first.
FIRST = (
    *TOGETHER,
    "test_sketching",
    "test_examples",
    "test_faults",
    "test_sweep_store",
    "test_cli",
    "test_reconcile",
    "test_cache",
    "test_docstring_examples",
    "test_killed_commands",
    "test_places",
    "test_live_view",
    "test_threads",
    "test_surface_cache",
    "test_report_pdf",
    "test_surface_accuracy",
    "test_live_core",
    "test_lesson",
    "test_cam_builds",
    "test_fuel_system",
    "test_direct",
    "test_house",
    "test_one_assembler",
    "test_log_grades",
)


def _stem(nodeid: str) -> str:
    return PurePath(nodeid.split("::", 1)[0]).stem


def place(item: pytest.Item) -> int:
    """When a test's file begins; the order within a file, and of all others, is kept."""
    stem = _stem(item.nodeid)
    return FIRST.index(stem) if stem in FIRST else len(FIRST)


class Sharing(LoadFileScheduling):
    """Scheduling by file, with some files as one, in the order in which they were collected."""

    def __init__(self, config: pytest.Config, log: Producer | None = None) -> None:
        config.option.loadscopereorder = False  # by number of tests, which says nothing of time
        super().__init__(config, log)

    def _split_scope(self, nodeid: str) -> str:
        return "demo" if _stem(nodeid) in TOGETHER else str(super()._split_scope(nodeid))
