"""Intervals and bands hold what they say, judged by a chain that shares no code with this one."""

import numpy as np
import pytest

import airchain
from airchain.fit.load_drift import DRIFTS
from independent_chain import Truth, point
from synthetic_pulls import (
    DRIVES,
    GROWTH,
    UNKNOWNS,
    build,
    growing,
    measured,
    structure,
    truth,
)

RPM = np.array([3500.0, 5000.0, 6500.0, 7400.0])


def test_the_two_chains_agree_on_the_nominal_engine() -> None:
    for level, drive in DRIVES.items():
        pull = build().level(level).pull(RPM)
        for i, n in enumerate(RPM):
            other = point(Truth(), n, drive, 98e3, 298.15)
            assert pull["plenum_pressure"][i] == pytest.approx(other["plenum_pressure"], rel=0.01)
            assert pull["plenum_temperature"][i] == pytest.approx(
                other["plenum_temperature"], abs=2.0
            )
            assert pull["air_flow"][i] == pytest.approx(other["air_flow"], rel=0.01)
            assert pull["torque"][i] == pytest.approx(other["torque"], rel=0.02)


def covered(seeds: range, rows: int) -> tuple[np.ndarray, np.ndarray]:
    """Shares of unknowns inside their intervals, and of readings at the unseen level inside the
    band of torque and of manifold pressure."""
    inside, bands = [], []
    for seed in seeds:
        rng = np.random.default_rng(seed)
        real, own = truth(rng), structure(rng)
        fit = airchain.reconcile(
            build(), {"tame": measured(real, "tame", rng, own, rows)}, UNKNOWNS
        )
        ends = [fit.interval(name) for name in UNKNOWNS]
        inside.append(
            [low <= getattr(real, n) <= high for n, (low, high) in zip(UNKNOWNS, ends, strict=True)]
        )
        # The second pull, read with errors of its own, of an engine whose parts err with load.
        read = measured(growing(rng, real), "full", rng, structure(rng), rows)
        told = airchain.predict(fit, "full").compare(read)
        bands.append([told.share_inside(name) for name in ("torque", "plenum_pressure")])
    return np.mean(inside, axis=0), np.mean(bands, axis=0)


def test_intervals_hold_the_truth_in_a_few_pulls() -> None:
    inside, _ = covered(range(12), rows=40)
    # Of 60 intervals at 90 %, 46 or fewer hold in one of 1,500 tries (binomial).
    assert inside.mean() * 60 > 46


def test_the_fit_says_what_the_parts_may_err_by() -> None:
    assert {d.part for d in DRIFTS} == set(GROWTH)
    # Engines here err by what is stated, in the cooler by an eighth more.
    for drift in DRIFTS:
        assert 0.87 <= drift.size / GROWTH[drift.part] <= 1.0, drift.part


@pytest.mark.slow
def test_intervals_and_bands_hold_as_often_as_they_say() -> None:
    inside, bands = covered(range(200), rows=60)
    print(dict(zip(UNKNOWNS, inside, strict=True)), bands)
    # Engines here have no dips, no lag of quick channels and no other compressor efficiency than
    # the build's, all of which an interval must allow for: it holds them more often.
    assert 0.85 <= inside.mean() <= 0.97
    # A band that always holds is too wide to be of use.
    assert np.all((bands >= 0.85) & (bands <= 0.97))
