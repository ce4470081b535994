"""Findings of tampered fits, each as a small case by name."""

from pathlib import Path

import pytest
import seeds

import airchain
from airchain import InputError

ROOT = Path(__file__).resolve().parents[2]


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("noise.torque", "columns whose noise is missing, not above 0"),
        ("rates", "a speed that no engine gains so fast"),
    ],
)
def test_a_kept_fit_of_absurd_noise_or_rates_is_refused(
    tmp_path: Path, row: str, words: str
) -> None:
    build = airchain.load(ROOT / "examples" / "one_point.toml")
    file = airchain.reconcile(build, {"even": seeds.measured()}).save(tmp_path / "fit.toml")
    lines = file.read_text().splitlines()
    (at,) = (i for i, line in enumerate(lines) if line.startswith(row))
    lines[at] = lines[at].replace("[", "[1e300, ", 1).rsplit(",", 1)[0] + "]"
    file.write_text("\n".join(lines))
    with pytest.raises(InputError, match=words):
        airchain.read_fit(file, build)


@pytest.mark.parametrize(
    ("column", "row", "value", "words"),
    [
        ("plenum_pressure", 27, "1e7", "no point solved with the figures that fit"),
        ("torque", 15, "1e300", "a reading that no engine gives"),
    ],
)
def test_a_kept_fit_with_an_absurd_reading_is_refused(
    tmp_path: Path, column: str, row: int, value: str, words: str
) -> None:
    """One drew the fit to where the chain answers nowhere, one overflowed a sum of squares."""
    build = airchain.load(ROOT / "examples" / "one_point.toml")
    file = airchain.reconcile(build, {"even": seeds.measured()}).save(tmp_path / "fit.toml")
    lines = file.read_text().splitlines()
    (at,) = (i for i, line in enumerate(lines) if line.startswith(f"columns.{column}"))
    values = lines[at].split(", ")
    values[row] = value
    lines[at] = ", ".join(values)
    file.write_text("\n".join(lines))
    with pytest.raises(InputError, match=words) as refused:
        airchain.read_fit(file, build)
    assert str(file) in str(refused.value)


def test_an_absurd_accuracy_is_refused() -> None:
    """Its square overflowed, in a kept fit as in a new one."""
    build = airchain.load(ROOT / "examples" / "one_point.toml")
    absurd = {"plenum_pressure": {"structure": 1e300}}
    with pytest.raises(InputError, match=r"structure = .*; must be from 0 to 1000000000"):
        airchain.reconcile(build, {"even": seeds.measured()}, accuracy=absurd)
