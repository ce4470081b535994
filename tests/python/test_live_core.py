"""The chain compiled for pages agrees with the core, and knows what it was made of."""

import json
import shutil
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

import airchain
import in_page
import scenario
from airchain import _core
from airchain.live import page_core
from airchain.live.packing import indices

#: How far the page's numbers may be off those of the core [relative]. They are not bitwise the
#: same: compilers order and fuse sums otherwise, and the match stops within its tolerance.
SAME = 1e-9
#: Where states are drawn: what a slider may reach and more [SI].
DRAWN = {
    "drive.drive_ratio": (0.6, 1.6),
    "cooler.effectiveness": (0.5, 1.0),
    "cooler.coolant_temperature": (270.0, 380.0),
    "ambient.pressure": (70e3, 106e3),
    "ambient.temperature": (255.0, 320.0),
    "ambient.relative_humidity": (0.0, 1.0),
    "injection.lambda": (0.7, 1.1),
    "engine.compression_ratio": (7.0, 12.0),
    "inlet.loss_coefficient": (0.0, 3.0),
}


def drawn(chain: _core.Chain, number: int, seed: int = 5) -> list[in_page.State]:
    """Draw states of a chain."""
    random = np.random.default_rng(seed)
    names = [n for n in DRAWN if chain.supercharged or n.split(".")[0] not in ("drive", "cooler")]
    return [
        (
            {indices()[name]: float(random.uniform(*DRAWN[name])) for name in names},
            random.uniform(150.0, 850.0, 12),
        )
        for _ in range(number)
    ]


def builds() -> dict[str, airchain.Build]:
    """Builds that breathe by a table and by a surface, and one without compressor."""
    surface = airchain.load(scenario.quick())
    typed = scenario.typed()
    belt = {
        "kind": "pulleys",
        "driving_diameter": "8 in",
        "driven_diameter": "7 in",
        "slip": 0.01,
        "centre_distance": "12 in",
        "friction_coefficient": 1.2,
        "static_tension": "900 N",
        "belt_mass_per_length": "0.15 kg/m",
    }
    belted = [belt, {"kind": "step_up", "speed_ratio": 4.75, "efficiency": 0.97}]
    air_to_air = {"cooler.kind": "air_to_air", "cooler.coolant_temperature": None}
    return {
        "table": typed.level("full"),
        "surface": surface.level("middle"),
        "belt": typed.replace({"drive.links": belted, "levels": None, "compressor.rotates": None}),
        "no compressor": typed.naturally_aspirated(),
        "air to air": typed.replace({**air_to_air, "fuel.place": "plenum"}),
    }


def differences(page: NDArray[np.float64], core: NDArray[np.float64]) -> NDArray[np.float64]:
    """Largest relative difference of each column, over points that both solved."""
    near = np.abs(core) + 1e-6 * np.nanmax(np.where(np.isfinite(core), np.abs(core), 0.0), axis=0)
    with np.errstate(invalid="ignore"):
        off = np.where(page == core, 0.0, np.abs(page - core) / np.where(near > 0, near, 1.0))
    return np.asarray(np.nanmax(off, axis=0, initial=0.0))


# Breathing of both kinds; the chain's other parts are compared in the long run.
@pytest.mark.parametrize("name", [
    "table", "surface", *(pytest.param(name, marks=pytest.mark.slow)
                          for name in ("belt", "no compressor", "air to air")),
])  # fmt: skip
def test_agrees_with_the_core_over_random_states(name: str, tmp_path: Path) -> None:
    chain = builds()[name].chain
    states = drawn(chain, 60)
    page, core = in_page.solved(chain, states, tmp_path), in_page.natively(chain, states)
    agree(page, core)
    status = core[:, [n for n, *_ in _core.columns()].index("status")]
    assert np.mean(status == 0) > 0.2
    if chain.supercharged:
        assert len(np.unique(status)) > 1, "nothing refused was compared"


def agree(page: NDArray[np.float64], core: NDArray[np.float64]) -> None:
    """Every column within `SAME`, statuses alike, nothing known on one side only."""
    names = [name for name, *_ in _core.columns()]
    status, flags = names.index("status"), names.index("flags")
    np.testing.assert_array_equal(page[:, status], core[:, status])
    np.testing.assert_array_equal(page[:, flags], core[:, flags])
    np.testing.assert_array_equal(np.isnan(page), np.isnan(core))
    off = differences(page, core)
    worst = int(np.argmax(off))
    assert off[worst] <= SAME, f"{names[worst]} is off by {off[worst]:.2e}"


def test_notices_a_page_that_answers_otherwise(tmp_path: Path) -> None:
    chain = builds()["table"].chain
    states = drawn(chain, 5)
    page, core = in_page.solved(chain, states, tmp_path), in_page.natively(chain, states)
    page[:, 10] *= 1.0 + 1e-8
    with pytest.raises(AssertionError, match="is off by"):
        agree(page, core)


def test_refuses_in_the_words_of_the_core(tmp_path: Path) -> None:
    chain = builds()["table"].chain
    states = [({indices()["cooler.coolant_temperature"]: 900.0}, np.array([500.0]))]
    with pytest.raises(subprocess.CalledProcessError) as page:
        in_page.solved(chain, states, tmp_path)
    with pytest.raises(airchain.InputError) as core:
        in_page.natively(chain, states)
    assert "must be between 230 and 420 K" in str(core.value)
    assert str(core.value) in page.value.stderr


def test_belongs_in_a_page() -> None:
    assert in_page.WASM.stat().st_size < 1_000_000
    facts = json.loads(in_page.WASM.with_suffix(".json").read_text())
    assert facts["bytes"] == in_page.WASM.stat().st_size


def test_a_core_of_other_sources_is_objected_to(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    shutil.copy(in_page.WASM.with_suffix(".json"), tmp_path)
    monkeypatch.setattr(page_core, "files", lambda _package: tmp_path)
    assert page_core.objection() == ""
    facts = json.loads((tmp_path / "chain.json").read_text())
    (tmp_path / "core_sources.txt").write_text(f"{facts['made_of']}\n")
    assert page_core.objection() == ""
    (tmp_path / "core_sources.txt").write_text("of other sources\n")
    assert "so only a kernel solves" in page_core.objection()


def fingerprint(cpp: Path) -> str:
    """Fingerprint of the sources below a folder."""
    command = [sys.executable, str(cpp / "wasm" / "sources.py")]
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout.strip()


def test_fingerprint_tells_what_is_compiled_and_not_what_is_said_of_it(tmp_path: Path) -> None:
    cpp = tmp_path / "cpp"
    for folder in ("include", "src", "wasm"):
        shutil.copytree(in_page.ROOT / "cpp" / folder, cpp / folder)
    plain = fingerprint(cpp)
    assert plain == fingerprint(in_page.ROOT / "cpp")
    header = cpp / "include" / "airchain" / "gas" / "species.hpp"
    text = header.read_text()
    header.write_text(f"// said otherwise\n{text}")
    assert fingerprint(cpp) == plain
    header.write_text(text.replace("0", "1", 1))
    assert fingerprint(cpp) != plain


@pytest.mark.slow
def test_is_what_its_sources_make(tmp_path: Path) -> None:
    if shutil.which("em++") is None:
        pytest.skip("em++ is not installed; apt-get install emscripten brings it (800 MB)")
    script = in_page.ROOT / "cpp" / "wasm" / "build.py"
    subprocess.run([sys.executable, str(script), str(tmp_path)], check=True, timeout=1200)
    fresh, shipped = tmp_path / "chain.wasm", in_page.WASM
    facts = [json.loads(f.with_suffix(".json").read_text()) for f in (fresh, shipped)]
    assert facts[0] == facts[1], "python cpp/wasm/build.py makes it anew"
    for name, build in builds().items():
        states = drawn(build.chain, 200, seed=len(name))
        agree(
            in_page.solved(build.chain, states, tmp_path, fresh),
            in_page.natively(build.chain, states),
        )
