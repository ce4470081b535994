"""Without the packages of an extra: the core still works, the rest says what to install."""

import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

import scenario
from airchain.base.extras import EXTRAS

HIDE = f"""
import sys
class Hidden:
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] in {tuple(EXTRAS)}:
            raise ModuleNotFoundError(f"No module named {{name!r}}", name=name)
sys.meta_path.insert(0, Hidden())
import airchain
build = airchain.load({str(scenario.quick())!r})
pull = build.pull([5000, 7000])
"""


def run(code: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-c", HIDE + code]
    return subprocess.run(command, capture_output=True, text=True, check=False, timeout=120)


def test_the_core_needs_only_what_is_always_there() -> None:
    done = run("print(pull); print(pull.stations(7000)); print(airchain.ladder(build))")
    assert done.returncode == 0, done.stderr
    assert "Both points solved." in done.stdout


@pytest.mark.parametrize(
    ("code", "package", "name"),
    [
        ("airchain.sweep(build, {'rpm': [5000]})", "xarray", "sweeps"),
        ("airchain.sweep(build, {'rpm': [5000]}, store='a.zarr')", "zarr", "stores"),
        ("airchain.sweep(build, {'rpm': [5000]}, client=1)", "distributed", "cluster"),
        ("pull.to_frame()", "pandas", "sweeps"),
        ("pull.plot()", "matplotlib", "plots"),
        ("pull.plot_map()", "matplotlib", "plots"),
        ("from airchain.track import track_runs; track_runs(build)", "scipy", "sweeps"),
        ("airchain.make_report(build)", "jinja2", "report"),
    ],
)
def test_names_the_extra_that_is_missing(code: str, package: str, name: str) -> None:
    done = run(code)
    assert done.returncode == 1
    last = done.stderr.splitlines()[-1]
    text = f'{package} is not installed; pip install "airchain[{name}]" brings it'
    assert last == f"ModuleNotFoundError: {text}"


def test_the_command_line_says_so_in_one_line() -> None:
    done = run("from airchain.cli import main")
    assert done.returncode == 1
    text = 'airchain: click is not installed; pip install "airchain[cli]" brings it'
    assert done.stderr.splitlines() == [text]


def test_every_extra_has_its_line_in_the_table(root: Path) -> None:
    project = tomllib.loads((root / "pyproject.toml").read_text())["project"]
    section = (root / "DEVELOPERS.md").read_text().partition("## Extras\n")[2].partition("\n## ")[0]
    rows = re.findall(r"^\| (`.*?`) \|", section, re.MULTILINE)
    told = [name for row in rows for name in re.findall(r"`(\w+)`", row)]
    assert sorted(told) == sorted(project["optional-dependencies"])
    assert set(EXTRAS.values()) <= set(told)
