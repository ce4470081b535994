"""The chain's own error away from the loads measured: no row is spared, and it follows the fit."""

from functools import cache

import numpy as np
import pytest

import airchain
from airchain.fit import Reconciliation
from airchain.fit.load_drift import DRIFTS, LOADS, PARTS, Loads
from airchain.fit.parameters import applied
from airchain.fit.problem import answers
from fitted import pull
from independent_chain import Truth
from synthetic_pulls import DRIVES, UNKNOWNS, build

HEAD = PARTS.index("compressor_head")
#: Far from what the build says: a charge that is 30 K hotter.
REAL = Truth(compressor_head=1.08, compressor_flow=0.88, cooler_effectiveness=0.8)
FIRST_RPM = (3000.0, 3003.0, 3008.0)


@cache
def uneven() -> Reconciliation:
    """A fit to three pulls that begin and end some rows apart."""
    pulls = {}
    for level, first in zip(("tame", "middle", "full"), FIRST_RPM, strict=True):
        read = pull(level, 1, REAL)
        speeds = np.linspace(first, 7400.0 - 2.0 * (first - 3000.0), 60)
        pulls[level] = read.with_columns(engine_speed=speeds * np.pi / 30.0)
    return airchain.reconcile(build(), pulls, UNKNOWNS)


def test_rows_at_the_ends_of_pulls_err_as_their_neighbours() -> None:
    for channel in uneven().problem.channels:
        for k in range(3):
            own = channel.own.drift[channel.run == k]
            for drift in own.T[: 2 * len(PARTS)]:
                steps = np.abs(np.diff(drift))
                largest = np.max(np.abs(drift))
                if largest > 0.0:
                    assert np.all(steps[[0, -1]] < 0.1 * largest), channel.name


def test_loads_count_from_the_mean_and_from_the_lowest() -> None:
    fit = uneven()
    runs = fit.problem.runs
    solved = [answers(run.chain, run.speeds, LOADS) for run in runs]
    loads = Loads.of(runs, solved)
    far = [loads.distance(run.rpm, here) for run, here in zip(runs, solved, strict=True)]
    apart = np.log(DRIVES["full"] / DRIVES["tame"]) / np.log(1.5)
    middle = np.log(DRIVES["middle"] / DRIVES["tame"]) / np.log(1.5)
    mean = (apart + middle) / 3.0
    for k, place in enumerate((0.0, middle, apart)):
        assert far[k][:, HEAD] == pytest.approx(place - mean, abs=0.01)
        assert far[k][:, len(DRIFTS) + HEAD] == pytest.approx(place, abs=0.01)


def test_how_an_error_shows_is_that_of_the_fitted_chain() -> None:
    fit = uneven()
    chain = applied(fit.problem.runs[2].chain, fit.unknowns, fit.values)
    less = applied(chain, [DRIFTS[HEAD].unknown], np.array([0.999]))
    speeds = fit.problem.runs[2].speeds
    slopes = [answers(one, speeds, ["plenum_temperature"])["plenum_temperature"]
              for one in (chain, less)]  # fmt: skip
    (channel,) = [c for c in fit.problem.channels if c.name == "plenum_temperature"]
    drift = channel.own.drift[channel.run == 2][:, len(PARTS) + HEAD]
    apart = np.log(DRIVES["full"] / DRIVES["tame"]) / np.log(1.5)
    said = (slopes[0] - slopes[1]) / 1e-3 * DRIFTS[HEAD].size * apart
    # The errors are those about what fits every third row best, a hair off the solution.
    assert drift == pytest.approx(said, rel=0.02)
    typed = answers(fit.problem.runs[2].chain, speeds, ["plenum_temperature"])
    assert np.median(slopes[0] / typed["plenum_temperature"]) > 1.02  # the build's own is cooler


def test_a_speed_beyond_all_pulls_counts_the_nearest_most() -> None:
    fit = uneven()
    runs = fit.problem.runs
    solved = [answers(run.chain, run.speeds, LOADS) for run in runs]
    short = [dict(one) for one in solved]
    keep = runs[2].rpm < 5000.0
    loads = Loads.of(runs, solved)
    cut = Loads([*loads.rpm[:2], loads.rpm[2][keep]],
                [*loads.logarithms[:2],
                 {n: v[keep] for n, v in loads.logarithms[2].items()}])  # fmt: skip
    rpm = np.array([4900.0, 5300.0, 7000.0])
    here = {n: np.interp(rpm, runs[0].rpm, v) for n, v in short[0].items()}
    whole, some = (one.distance(rpm, here)[:, HEAD] for one in (loads, cut))
    assert some[0] == pytest.approx(whole[0], abs=1e-6)
    assert whole[1] < some[1] < some[2] < 0.0  # the full step's loads fade from the mean
