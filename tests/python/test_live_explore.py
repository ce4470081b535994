"""The live view in a notebook: what it answers, what it remembers, and its still twin."""

import base64
import json
import re
import subprocess
import sys
from functools import cache

import numpy as np
import pytest

import scenario
from airchain import InputError
from airchain.base.extras import EXTRAS
from airchain.live import Explorer, Session, explore
from airchain.live.bundle import module


@cache
def view() -> Explorer:
    """A view of the demo's build with typed breathing."""
    return Explorer(Session(scenario.typed().level("full")))


def test_answers_a_question_with_a_frame() -> None:
    values = {"cooler.coolant_temperature": "95 degF"}
    told = view().told({"number": 7, "values": values})
    assert told is not None
    assert told["number"] == 7
    answer = json.loads(json.dumps(told["answer"], allow_nan=False))
    frame = view().session.frame(values)
    numbers = np.frombuffer(base64.b64decode(answer["numbers"])).reshape(frame.numbers.shape)
    np.testing.assert_array_equal(numbers, frame.numbers)


def test_answers_with_a_refusal_what_is_refused() -> None:
    told = view().told({"number": 8, "values": {"cooler.coolant_temperature": "900 degF"}})
    assert told is not None
    assert "must be between" in str(told["answer"])


def test_remembers_what_is_shown_and_kept() -> None:
    one = Explorer(Session(scenario.typed()))
    assert one.told({"keep": {"level": "tame"}}) is None
    assert one.told({"shown": {"level": "middle", "drive.ratio": 1.1}}) is None
    assert one.build == scenario.typed().level("middle").with_drive_ratio(1.1)
    assert [build.level_name for build in one.kept] == ["tame"]
    assert ".with_drive_ratio(1.1)" in one.code


def test_a_saved_notebook_has_a_still_picture() -> None:
    pytest.importorskip("matplotlib")
    still = view().still()
    assert re.match(r'<div data-airchain-twin="[0-9a-f]{32}"><?\s*<svg ', still.replace("\n", " "))
    assert not re.search(r"<script|\ssrc=", still)
    assert "install it there too" in still, "JupyterLab may run from another environment"


def test_the_module_of_the_widget_exports_a_view_and_imports_nothing() -> None:
    text = module("widget")
    assert len(re.findall(r"^export ", text, re.MULTILINE)) == 1
    assert text.rstrip().endswith("export default { render };")
    assert not re.search(r"^import ", text, re.MULTILINE)


def test_the_widget_carries_all_that_it_needs() -> None:
    pytest.importorskip("anywidget")
    widget = view().widget
    told = json.loads(widget.told)  # type: ignore[attr-defined]
    assert told["schema"]["title"]
    assert widget.core.startswith(b"\0asm")  # type: ignore[attr-defined]


def test_says_which_numbers_can_be_turned() -> None:
    pytest.importorskip("anywidget")
    with pytest.raises(InputError, match="be the path of a number with a range"):
        explore(scenario.typed(), ["cooler.kind"])


def test_names_the_extra_where_the_package_for_widgets_is_missing() -> None:
    hide = (
        "import sys; sys.modules['anywidget'] = None; import airchain; "
        f"airchain.live.explore(airchain.load({str(scenario.quick())!r}))"
    )
    done = subprocess.run([sys.executable, "-c", hide], capture_output=True, text=True, timeout=120)
    assert done.returncode == 1
    assert 'pip install "airchain[live]" brings it' in done.stderr
    assert EXTRAS["anywidget"] == "live"


def test_rooms_are_there_after_one_import() -> None:
    code = "import airchain; airchain.live.explore; airchain.sweeps.best_points; airchain.nothing"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60)
    assert done.stderr.splitlines()[-1].startswith("AttributeError")
    assert "nothing" in done.stderr.splitlines()[-1]
