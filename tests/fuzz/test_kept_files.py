"""Files that the package wrote itself, tampered with: refused whole, or read to sane numbers."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import numpy as np
import pytest
import seeds
from checks import put, refused
from mutator import Mutator
from tally import Tally

import airchain
from airchain import InputError
from airchain.calibration.files import csv_name, read_table, write_calibration
from airchain.calibration.tables import CalibrationTables
from airchain.fit.reconciliation import Reconciliation


@pytest.fixture(scope="module")
def kept_fit(tmp_path_factory: pytest.TempPathFactory, root: Path) -> tuple[airchain.Build, str]:
    """A build, and a fit to it as a file."""
    file = tmp_path_factory.mktemp("fit") / "fit.toml"
    build = airchain.load(root / "examples" / "one_point.toml")
    fit = airchain.reconcile(build, {"even": seeds.measured()})
    fit.save(file)
    return build, file.read_text()


def test_tampered_fits(
    times: int, tally: Tally, tmp_path: Path, kept_fit: tuple[airchain.Build, str]
) -> None:
    build, text = kept_fit
    file = tmp_path / "fit.toml"
    outcomes: Counter[str] = Counter()
    for seed in range(120 * times):
        put(file, Mutator(seed).kept(text))
        try:
            fit = refused(lambda: airchain.read_fit(file, build))
            if not isinstance(fit, InputError):
                assert isinstance(fit, Reconciliation)
                assert np.all(np.isfinite(fit.values))
        except BaseException as error:
            error.add_note(f"fit seed {seed}")
            raise
        tally.case(not isinstance(fit, InputError))
        outcomes[type(fit).__name__] += 1
    print(dict(outcomes))
    assert len(outcomes) == 2, outcomes
    assert tally.taken >= tally.cases / 2, outcomes


def test_tampered_calibrations(times: int, tally: Tally, tmp_path: Path) -> None:
    write_calibration(seeds.calibration(), tmp_path / "own")
    text = (tmp_path / "own" / "calibration.json").read_text()
    file = tmp_path / "calibration.json"
    outcomes: Counter[str] = Counter()
    for seed in range(800 * times):
        put(file, Mutator(seed).kept(text))
        try:
            read = refused(lambda: airchain.read_calibration(file))
            if isinstance(read, CalibrationTables):
                for table in read.tables.values():
                    assert not np.any(np.isinf(table.values))
                assert all(np.all(np.isfinite(v)) for v in read.trims.values())
                assert 0.0 < read.reference_temperature < np.inf
                if seed % 16 == 0:
                    write_calibration(read, tmp_path / "again")
        except BaseException as error:
            error.add_note(f"calibration seed {seed}")
            raise
        tally.case(not isinstance(read, InputError))
        outcomes[type(read).__name__] += 1
    print(dict(outcomes))
    assert len(outcomes) == 2, outcomes
    assert tally.taken >= tally.cases / 2, outcomes


def test_tampered_tables(times: int, tally: Tally, tmp_path: Path) -> None:
    write_calibration(seeds.calibration(), tmp_path / "own")
    name = "volumetric_efficiency"
    text = (tmp_path / "own" / csv_name(name)).read_text()
    file = tmp_path / "table.csv"
    for seed in range(200 * times):
        put(file, Mutator(seed).table(text))
        try:
            read = refused(lambda: read_table(file, name))
            tally.case(not isinstance(read, InputError))
        except BaseException as error:
            error.add_note(f"table seed {seed}")
            raise
