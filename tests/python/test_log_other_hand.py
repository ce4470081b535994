"""The reader is graded on logs by a hand that had not read it.

Its first run, before anything was mended: 37 of 68 right, 18 asked rightly, 6 asked needlessly, 2
flagged, 4 refused, 1 silent. Two more were silent behind a question on the barometer, which the
text told without a colon. Air flow was made physical afterwards, and of one log a question is
allowed now: what is headed MAP in bar may be either.
"""

from collections import Counter
from pathlib import Path

import pytest

from log_other_hand import GOOD, LOGS, Log, settle


@pytest.mark.parametrize("one", LOGS, ids=[one.name for one in LOGS])
def test_log_of_another_hand_is_read_asked_about_refused_or_flagged(
    one: Log, tmp_path: Path
) -> None:
    grade, said = settle(one, tmp_path)
    assert grade in GOOD, said


def test_few_logs_of_another_hand_are_asked_about(tmp_path: Path) -> None:
    grades = Counter(settle(one, tmp_path)[0] for one in LOGS if one.must == "read or ask")
    assert len({one.name for one in LOGS}) == len(LOGS)
    assert grades["asked rightly"] <= 0.3 * grades.total()
