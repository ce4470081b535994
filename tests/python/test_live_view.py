"""The view's JavaScript and the page in one file: what they show is what Python makes."""

import base64
import json
import re
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

import airchain
import in_page
import scenario
from airchain.cli.main import cli
from airchain.live import Session, write_page
from airchain.live.bundle import module, style
from airchain.live.contract import encoded, locks, schema
from airchain.live.packing import packed
from airchain.live.page import page
from airchain.live.session import column_names
from test_live_session import TURNED, with_cams

JS = in_page.ROOT / "python" / "airchain" / "live" / "js"
SURFACE_TURNED = [
    {"level": "tame", "drive.ratio": 1.05, "rpm": "6000 rpm"},
    {"ambient.altimeter": "29.5 inHg", "ambient.altitude": "6000 ft"},
    {"cooler.measured.effectiveness": 0.95, "cooler.coolant_temperature": "41.5 degC"},
]


def test_javascript_tests_pass() -> None:
    files = sorted(map(str, (in_page.ROOT / "tests" / "js").glob("*.test.mjs")))
    command = [in_page.node(), "--test", *files]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, done.stdout
    assert re.search(r"^# pass [1-9]", done.stdout, re.MULTILINE)


def test_javascript_types_hold() -> None:
    if shutil.which("tsc") is None:
        pytest.skip("tsc is not installed; apt-get install node-typescript brings it")
    command = ["tsc", "-p", str(in_page.ROOT / "tests" / "js" / "tsconfig.json")]
    done = subprocess.run(command, capture_output=True, text=True, timeout=300)
    assert done.returncode == 0, done.stdout


def turned(
    session: Session, settings: list[dict[str, str | float]], folder: Path
) -> list[dict[str, object]]:
    """What the view answers to settings, run by Node.js."""
    asked = {
        "schema": schema(session),
        "numbers": encoded(packed(session.build.chain)),
        "settings": settings,
    }
    (folder / "in").write_text(json.dumps(asked, allow_nan=False))
    script = str(in_page.ROOT / "tests" / "js" / "turned.mjs")
    command = [in_page.node(), script, str(in_page.WASM), str(folder / "in"), str(folder / "out")]
    subprocess.run(command, check=True, timeout=120)
    return list(json.loads((folder / "out").read_text()))


@pytest.mark.parametrize("breathing", ["table", "surface"])
def test_what_the_page_shows_is_what_its_code_makes(breathing: str, tmp_path: Path) -> None:
    cams = breathing == "surface"
    session = with_cams() if cams else Session(scenario.typed().level("full"))
    settings = SURFACE_TURNED if cams else TURNED
    for values, told in zip(settings, turned(session, settings, tmp_path), strict=True):
        frame = session.frame(values)
        bytes_ = base64.b64decode(str(told["numbers"]))
        numbers = np.frombuffer(bytes_).reshape(frame.numbers.shape)
        np.testing.assert_allclose(numbers, frame.numbers, rtol=1e-9, atol=1e-12)
        np.testing.assert_allclose(told["air"], frame.air, rtol=1e-9)
        assert told["verdict"] == frame.verdict
        made: dict[str, airchain.chain.Pull] = {"build": session.given}  # type: ignore[dict-item]
        exec(str(told["code"]), {"airchain": airchain}, made)
        power = column_names().index("power")
        np.testing.assert_allclose(made["pull"]["power"], numbers[:-1, power], rtol=1e-9)


def test_verdicts_read_as_those_of_python(tmp_path: Path) -> None:
    session = Session(scenario.typed().level("full"))
    settings: list[dict[str, str | float]] = [{"drive.ratio": 1.35}, {"drive.ratio": 1.5}]
    for values, told in zip(settings, turned(session, settings, tmp_path), strict=True):
        verdict = session.frame(values).verdict
        assert "do not run" in verdict or "solved;" in verdict
        assert told["verdict"] == verdict


def test_the_bundle_imports_nothing_and_says_each_name_once() -> None:
    text = module("page")
    assert not re.search(r"^\s*(import|export)\b", text, re.MULTILINE)
    names = re.findall(r"^(?:async )?(?:function|class|const|let) (\w+)", text, re.MULTILINE)
    assert sorted(names) == sorted(set(names))


def test_the_page_stands_alone(tmp_path: Path) -> None:
    file = write_page(scenario.typed().level("full"), tmp_path / "page.html")
    text = file.read_text()
    assert file.stat().st_size < 2_000_000
    # The name of SVG's language is no address that anything is fetched from; it is not used.
    assert not re.search(r"https?://|\ssrc=|<link|@import|url\(", text)
    assert style() in text


def test_names_cannot_break_out_of_the_page() -> None:
    name = '</script><script>alert("&")</script>\u202e'
    build = scenario.typed().replace({"build.name": name})
    text = page(Session(build))
    assert name not in text
    assert "<script>alert" not in text
    assert "\u202e" not in text
    # Each element that was begun is ended: by the page, not by a name.
    assert text.count("<script") == text.count("</script>") == 4
    data = re.search(r'id="airchain-data">(.*?)</script>', text, re.DOTALL)
    assert data is not None
    assert "alert" in json.loads(data[1])["schema"]["title"]


def test_what_needs_cycles_is_locked_and_says_why() -> None:
    told = locks(with_cams())
    assert "engine.camshaft.intake.duration" in told
    assert "fuel.lambda" in told
    assert "cooler.coolant_temperature" not in told
    assert all("notebook" in why for why in told.values())
    assert locks(Session(scenario.typed())) == {}


def test_the_command_writes_a_page(tmp_path: Path) -> None:
    file = tmp_path / "page.html"
    command = ["page", str(scenario.quick()), "--level", "full", "-o", str(file)]
    done = CliRunner().invoke(cli, [*command, "--also", "combustion.work_scale"])
    assert done.exit_code == 0, done.output
    assert "combustion.work_scale" in file.read_text()
    assert '"level"' in file.read_text()
    told = json.loads(re.findall(r'id="airchain-data">(.*?)</script>', file.read_text())[0])
    made = told["schema"]["knock"]["made"]
    assert list(made) == ["", "tame", "middle", "full"]
    assert made[""] == made["full"], "the page stands on it"
    assert "knock margin est. " in made["tame"]["said"]
    refused = CliRunner().invoke(cli, [*command[:-1], str(tmp_path / "page.pdf")])
    assert refused.exit_code == 1
