"""The page's core run by Node.js, to be held beside the core itself."""

import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from airchain import _core
from airchain.live.packing import indices, packed

Array = NDArray[np.float64]
State = tuple[dict[int, float], Array]
ROOT = Path(__file__).resolve().parents[2]
SOLVE = ROOT / "tests" / "js" / "solve.mjs"
WASM = ROOT / "python" / "airchain" / "live" / "chain.wasm"


def node() -> str:
    """Return Node.js, or skip the test."""
    found = shutil.which("node")
    if found is None:
        pytest.skip("Node.js is not installed; apt-get install nodejs brings it")
    return found


def solved(chain: _core.Chain, states: list[State], folder: Path, wasm: Path = WASM) -> Array:
    """Solve states of a chain in the page's core: a row for each speed, all columns."""
    rows = [*_listed(packed(chain)), float(len(states))]
    for changes, speeds in states:
        rows += [*_listed(list(changes)), *_listed(list(changes.values())), *_listed(speeds)]
    np.array(rows).tofile(folder / "in")
    command = [node(), str(SOLVE), str(wasm), str(folder / "in"), str(folder / "out")]
    subprocess.run(command, check=True, timeout=300, capture_output=True, text=True)
    return np.fromfile(folder / "out").reshape(-1, len(_core.columns()))


def natively(chain: _core.Chain, states: list[State]) -> Array:
    """Solve the same states by the core itself."""
    rows = []
    for changes, speeds in states:
        columns = _core.solve(with_numbers(chain, changes), {"engine_speed": speeds})
        rows.append(np.column_stack([columns[name] for name, *_ in _core.columns()]))
    return np.concatenate(rows)


def with_numbers(chain: _core.Chain, changes: dict[int, float]) -> _core.Chain:
    """Return the chain with some of its numbers set."""
    names = list(indices())
    for place, value in changes.items():
        station, _, field = names[place].partition(".")
        part = getattr(chain, station).replace(**{field: value})
        chain = chain.replace(**{station: part})
    return chain


def _listed(values: object) -> list[float]:
    flat = np.asarray(values, dtype=float).ravel()
    return [float(flat.size), *flat.tolist()]
