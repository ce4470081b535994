"""Surfaces as they are made, kept and read again."""

import hashlib
import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import airchain
from airchain import _core
from airchain.cylinder import _node_cycles, surface
from airchain.cylinder import surface_cache as breathing
from airchain.cylinder.surface import Group
from cam_engine import built, coarsen


@pytest.fixture
def coarse(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """Surfaces of few nodes, kept in a folder of the test's own."""
    coarsen(monkeypatch, tmp_path / "kept")
    return tmp_path / "kept"


def test_a_surface_is_kept_under_a_fingerprint_of_its_inputs(
    coarse: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = built().chain.breathing.surface
    (file,) = coarse.iterdir()

    def forbidden(*_: object, **__: object) -> None:
        raise AssertionError("made again")

    with monkeypatch.context() as patch:
        patch.setattr(_core, "run_cycles", forbidden)
        assert built().chain.breathing.surface is first  # kept in memory
        patch.setattr(breathing, "_made", {})
        assert built().chain.breathing.surface == first  # read from the file
        # Weather is no input of a surface; a cam is.
        assert built('"15 degC"', '"35 degC"').chain.breathing.surface == first
        with pytest.raises(AssertionError, match="made again"):
            built('lobe_separation = "110 deg"', 'lobe_separation = "114 deg"')
    for broken in ("", "{}", file.read_text()[:-900], file.read_text().replace("0.9", "0.8", 1)):
        file.write_text(broken)
        monkeypatch.setattr(breathing, "_made", {})
        with monkeypatch.context() as patch:
            patch.setattr(_core, "run_cycles", forbidden)
            with pytest.raises(AssertionError, match="made again"):
                built()
    assert built().chain.breathing.surface == first
    fingerprint, _, body = file.read_text().split("\n")[:3]
    assert len(fingerprint) == 64
    assert json.loads(body)["cautions"] == []


def test_a_folder_that_cannot_be_written_costs_only_time(
    coarse: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    coarse.write_text("a file where the folder would be")
    assert built().pull([5000.0]).matched.all()


def test_without_a_home_surfaces_are_made_and_kept_in_memory(
    coarse: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("AIRCHAIN_CACHE", "XDG_CACHE_HOME"):
        monkeypatch.delenv(name, raising=False)

    def homeless() -> Path:
        raise RuntimeError("Could not determine home directory.")

    monkeypatch.setattr(Path, "home", homeless)
    first = built().chain.breathing.surface
    assert built().chain.breathing.surface is first


_MAKING = """
import sys
from pathlib import Path
sys.path.insert(0, sys.argv[1])
import pytest
from airchain.cylinder import _node_cycles, surface
surface.USUAL = "coarse"
from cam_engine import built, coarsen
coarsen(pytest.MonkeyPatch(), Path(sys.argv[2]))
print(float(built().chain.breathing.surface.volumetric_efficiency.sum()).hex())
"""


def test_processes_may_make_the_same_surface_at_once(coarse: Path) -> None:
    command = [sys.executable, "-c", _MAKING, str(Path(__file__).parent), str(coarse)]
    started = [subprocess.Popen(command, stdout=subprocess.PIPE, text=True) for _ in range(3)]
    told = {each.communicate(timeout=300)[0] for each in started}
    assert [each.returncode for each in started] == [0, 0, 0]
    (file,) = coarse.iterdir()  # and nothing half written beside it
    assert told == {float(built().chain.breathing.surface.volumetric_efficiency.sum()).hex() + "\n"}
    fingerprint, digest, body = file.read_text().split("\n")[:3]
    assert file.name.startswith(f"surface-{fingerprint[:16]}")
    assert hashlib.sha256(body.encode()).hexdigest() == digest


def test_nodes_without_an_answer_are_filled_from_their_neighbours_and_said(
    coarse: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = built().chain.breathing.surface
    real, lost = _core.run_cycles, 7
    monkeypatch.setattr(breathing, "_made", {})
    monkeypatch.setenv("AIRCHAIN_CACHE", str(coarse / "other"))

    def lossy(setup: object, points: dict[str, Any], *rest: object, **more: object) -> object:
        found = real(setup, points, *rest, **more)
        gone = np.arange(len(found["status"])) == lost if len(found["status"]) > 20 else True
        for name, values in found.items():
            found[name] = np.where(gone, 1 if name == "status" else np.nan, values)
        return found

    monkeypatch.setattr(_core, "run_cycles", lossy)
    more = surface.NODES[surface.USUAL]._replace(
        effect=Group((0.8, 1.1, 1.4), 3, 3), responses=(Group((0.8, 1.1, 1.4), 1, 9),), shapes=()
    )
    monkeypatch.setitem(surface.NODES, surface.USUAL, more)
    monkeypatch.setattr(_node_cycles, "_MOST_LOST", 0.001)
    with pytest.raises(airchain.InputError, match=r"camshaft: cycle = none at .* at every node"):
        built()
    monkeypatch.setattr(_node_cycles, "_MOST_LOST", 0.05)
    build = built()
    (caution,) = [c for c in build.cautions if "no answer" in c]
    assert "8 of 243 nodes of the breathing surface have no answer" in caution
    filled = build.chain.breathing.surface.volumetric_efficiency
    assert np.isfinite(filled).all()
    changed_at = ~np.isclose(filled, whole.volumetric_efficiency)
    assert changed_at.sum() == 1
    # Row, ratio and temperature of the eighth node of 6 x 3 x 3, between its neighbours in speed.
    assert changed_at.ravel()[lost]


def test_unsettled_nodes_are_said(coarse: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real = _core.run_cycles

    def impatient(setup: object, points: object, controls: object, **rest: object) -> object:
        few = _core.CycleControls(tolerance=1e-9, most_cycles=3.0)
        return real(setup, points, few, **rest)

    monkeypatch.setattr(_core, "run_cycles", impatient)
    pull = built().pull([5000.0])
    assert any("did not settle" in note for note in pull.notes)


def test_a_surface_shows_itself_in_a_line(coarse: Path) -> None:
    shown = repr(built().chain.breathing.surface)
    assert shown.startswith("<BreathingSurface: 6 wave speeds ")
    assert "3 pressure ratios 0.8 to 2.4, 3 temperatures 260 to 400 K" in shown
    assert len(shown) < 200
