"""Fitting, predicting, saving and explaining: what holds, and what is refused."""

from functools import cache
from pathlib import Path

import numpy as np
import pytest

import airchain
from airchain import InputError
from airchain.report import report_html
from independent_chain import Truth
from synthetic_pulls import UNKNOWNS, build, measured, structure


def pull(level: str, seed: int, real: Truth | None = None) -> airchain.MeasuredPull:
    """A synthetic pull; one engine has the same structural error at every seed."""
    own = structure(np.random.default_rng(7))
    return measured(real or Truth(), level, np.random.default_rng(seed), own, 60)


@cache
def both() -> airchain.Reconciliation:
    """A fit to one pull of each level."""
    return airchain.reconcile(build(), {"tame": pull("tame", 1), "full": pull("full", 2)}, UNKNOWNS)


def test_more_pulls_narrow_the_intervals() -> None:
    one = airchain.reconcile(build(), {"tame": pull("tame", 1)}, UNKNOWNS)
    assert np.all(both().shrinkage < one.shrinkage)


def test_one_step_ahead_the_band_is_narrow_enough() -> None:
    # With manifold pressure, charge temperature and airflow logged: 6 % of power and 2 psi.
    demo = airchain.load(Path(__file__).resolve().parents[2] / "demo" / "ridge_road.toml")
    logs = Path(__file__).resolve().parents[2] / "demo" / "pulls"
    first = airchain.read_pulls(logs / "tame.csv").pulls[0]
    fit = airchain.reconcile(demo, {"tame": airchain.steady(first, "0.28 kg m^2")})
    made = airchain.predict(fit, "middle")
    low, high = made.band("power")
    i = int(np.argmax(made.expected("power")[0]))
    assert high[i] - low[i] < 0.06 * made.expected("power")[0][i]
    low, high = made.band("boost")
    assert high[i] - low[i] < 2 * 6894.757


def test_saved_fit_comes_back_the_same(tmp_path: Path) -> None:
    file = airchain.save_reconciliation(both(), tmp_path / "fit.toml")
    again = airchain.load_reconciliation(file, build())
    assert np.allclose(again.values, both().values, rtol=1e-12)
    assert np.allclose(again.covariance, both().covariance, rtol=1e-6)
    assert again.fingerprints == both().fingerprints
    rpm = [4000.0, 7000.0]
    one, other = (airchain.predict(fit, "full", rpm).expected("power") for fit in (both(), again))
    assert np.allclose(one, other, rtol=1e-9)


def test_saved_fit_refuses_another_build(tmp_path: Path) -> None:
    file = airchain.save_reconciliation(both(), tmp_path / "fit.toml")
    other = build().replace({"cooler.effectiveness": 0.7})
    with pytest.raises(InputError, match=r"build_fingerprint = .*; must be that of"):
        airchain.load_reconciliation(file, other)
    file.write_text("format = ")
    with pytest.raises(InputError, match="must be a fitted build in TOML"):
        airchain.load_reconciliation(file, build())


def test_a_pull_that_does_not_belong_is_flagged_not_averaged_in() -> None:
    odd = pull("full", 3, Truth(indicated_efficiency=0.90))
    three = {"tame": [pull("tame", 1), pull("tame", 4)], "full": [pull("full", 2), odd]}
    fit = airchain.reconcile(build(), three, UNKNOWNS)
    assert any("left out" in v for v in fit.notes)
    good = {"tame": three["tame"], "full": three["full"][0]}
    alone = airchain.reconcile(build(), good, UNKNOWNS)
    assert np.allclose(fit.values, alone.values, atol=1e-6)


def test_leave_one_out_leaves_whole_pulls() -> None:
    told = both().leave_one_out()
    assert list(told) == ["1 tame", "2 full"]
    assert not any(c.surprising for c in told.values())


def test_slip_leak_and_filter_are_not_told_apart() -> None:
    slipping = pull("full", 5, Truth(compressor_head=0.85))
    told = airchain.predict(both(), "full").compare(slipping)
    assert told.surprising
    assert any("cannot be told apart without shaft speed" in v for v in told.notes)


def test_prediction_says_how_far_it_reaches() -> None:
    fit = airchain.reconcile(build(), {"tame": pull("tame", 1)}, UNKNOWNS)
    made = airchain.predict(fit, "full", [4000.0, 7000.0])
    assert "compressor speed by" in made.extrapolation
    assert "manifold pressure by" in made.extrapolation
    assert "within the speeds" in airchain.predict(fit, "tame", [4000.0, 6000.0]).extrapolation


def test_four_numbers_rest_on_the_prior() -> None:
    few = pull("tame", 1).rows([5, 40])
    fit = airchain.reconcile(build(), {"tame": few.with_columns(air_flow=None)}, UNKNOWNS)
    assert any("prior" in v for v in fit.notes)
    assert any("not identified" in v for v in fit.notes)
    assert any("a sensor of air flow would" in v for v in fit.notes)


def test_unknown_at_its_bound_has_no_interval() -> None:
    hot = Truth(cooler_effectiveness=0.3)
    tight = {"charge_temperature": {"least_bias": 0.1, "structure": 0.001, "lag_width": 0.01}}
    fit = airchain.reconcile(
        build().replace({"cooler.effectiveness": 1.0}), {"full": pull("full", 2, hot)},
        ["cooler_effectiveness"], accuracy=tight,
    )  # fmt: skip
    if fit.at_bound[0]:
        assert np.isnan(fit.interval("cooler_effectiveness")[0])
        assert any("stands at its bound" in v for v in fit.notes)
    else:
        assert any("prior widths from the build" in v for v in fit.notes)


def test_shares_add_up_in_any_order() -> None:
    a, b = build().level("tame"), build().level("full").replace({"combustion.quality": 0.8})
    there = airchain.explain_difference(a, b, 6500.0)
    back = airchain.explain_difference(b, a, 6500.0)
    assert sum(there.shares.values()) == pytest.approx(there.second - there.first, rel=1e-12)
    assert there.shares.keys() == {"drive speed", "indicated efficiency"}
    for name, share in there.shares.items():
        assert share == pytest.approx(-back.shares[name], rel=1e-9)
    assert sum(there.effects.values()) == pytest.approx(there.second - there.first, rel=1e-9)
    # Two factors: what they do beyond each alone is shared half and half.
    (together,) = there.interactions.values()
    for name, share in there.shares.items():
        assert share == pytest.approx(there.alone[name] + 0.5 * together, rel=1e-9)


def test_measured_difference_names_what_is_not_explained() -> None:
    split = airchain.explain_pulls(both(), 0, 1, 6000.0)
    whole = sum(split.shares.values()) + split.residual
    assert whole == pytest.approx(split.second - split.first, rel=1e-12)
    assert abs(split.residual) < 0.05 * abs(whole)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"parameters": ["compressor_hed"]}, 'parameters = "compressor_hed"; must be known unkno'),
        ({"parameters": ["belt_slip"]}, "must suit a drive with belt; gears do not slip"),
        ({"parameters": []}, "must be a list of unknowns"),
        ({"accuracy": {"torqe": {"bias": 0.1}}}, 'accuracy = "torqe"; must be a channel'),
        ({"accuracy": {"torque": {"bias": -1.0}}}, "bias = -1.0; must be finite and not negative"),
        ({"rounding": {"torque": "1 psi"}}, "rounding.torque"),
        ({"pulls": []}, "must hold at least one MeasuredPull"),
        ({"pulls": [3]}, "pulls = int; must be a MeasuredPull"),
    ],
)
def test_reconcile_names_the_bad_input(change: dict, message: str) -> None:
    with pytest.raises(InputError, match=message):
        airchain.reconcile(**{"build": build(), "pulls": [pull("tame", 1)], **change})


def test_pictures_show_what_they_name() -> None:
    made = airchain.predict(both(), "full", [4000.0, 5500.0, 7000.0])
    run = pull("full", 2)
    labels = [axes.get_ylabel() for axes in airchain.plot_prediction(made, run).axes]
    assert labels == ["Power [hp]", "Torque [lb ft]", "Boost [psi]"]
    assert len(airchain.plot_residuals(both(), "si").axes) == len(both().channels)
    split = airchain.explain_pulls(both(), 0, 1, 6000.0)
    bars = airchain.plot_waterfall(split, budget=True).axes[0].patches
    assert len(bars) == len(split.effects) + 3
    torque = airchain.explain_pulls(both(), 0, 1, 6000.0, "torque")
    with pytest.raises(InputError, match="must go with a difference of power"):
        airchain.plot_waterfall(torque, budget=True)


def test_report_holds_the_fit_and_what_it_predicted(tmp_path: Path) -> None:
    told = airchain.predict(both(), "full").compare(pull("full", 5))
    file = airchain.write_report(build(), tmp_path / "report.html", fit=both(), comparisons=[told])
    text = file.read_text()
    assert "Measured and predicted" in text
    assert "compressor_head" in text
    assert "independent chain, full, predicted" in text
    assert "Measured and predicted" not in report_html(build())
