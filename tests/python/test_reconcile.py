"""Fitting, predicting, saving and explaining: what holds, and what is refused."""

import re
from functools import cache
from pathlib import Path

import numpy as np
import pytest

import airchain
from airchain import InputError, _core
from airchain.fit import Prediction
from airchain.fit.load_drift import DRIFTS
from fitted import both, pull
from independent_chain import Truth
from synthetic_pulls import UNKNOWNS, build, measured, structure


def test_more_pulls_narrow_the_intervals() -> None:
    one = airchain.reconcile(build(), {"tame": pull("tame", 1)}, UNKNOWNS)
    assert np.all(both().shrinkage < one.shrinkage)


DEMO = Path(__file__).resolve().parents[2] / "demo"


@cache
def invented(level: str, log: str) -> airchain.MeasuredPull:
    """The first pull of an invented log of the demo, steady."""
    drive = airchain.load(DEMO / "ridge_road.toml").level(level).chain.drive
    pull = airchain.read_pulls(DEMO / "pulls" / log).pulls[0]
    return pull.steady("0.28 kg m^2", f"{drive.inertia} kg m^2", drive.speed_ratio)


def at_best_power(made: Prediction) -> tuple[float, float]:
    """Width of the band, edge to edge, at best power: share of power, and boost [psi]."""
    i = int(np.argmax(made.expected("power")[0]))
    power, boost = made.band("power"), made.band("boost")
    return (power[1][i] - power[0][i]) / made.expected("power")[0][i], (
        boost[1][i] - boost[0][i]
    ) / 6894.757


def test_one_step_ahead_the_band_is_narrow_or_names_its_cause() -> None:
    # With manifold pressure, plenum temperature and airflow logged: 8 % of power and 2 psi. Loads
    # that were not measured take power beyond it, and boost on the way to the full level; that must
    # then be named.
    demo = airchain.load(DEMO / "ridge_road.toml")
    tame = invented("tame", "tame.csv")
    made = airchain.predict(airchain.reconcile(demo, {"tame": tame}), "middle")
    power, boost = at_best_power(made)
    assert boost < 2.0
    assert 0.08 < power < 0.15
    assert any("torque band is wide because nobody has measured this load" in n for n in made.notes)
    trusted = {
        name: {"drift": 0.0} for name in ("indicated_efficiency", "volumetric_efficiency")
    } | {name: {"drift": 0.0} for name in ("compressor_head", "compressor_efficiency")}
    fit = airchain.reconcile(demo, {"tame": tame}, accuracy=trusted)
    made = airchain.predict(fit, "middle")
    assert at_best_power(made)[0] < 0.08
    assert not any("torque band is wide" in n for n in made.notes)
    # Two levels measured tell how the error grows.
    two = {"tame": tame, "middle": invented("middle", "middle.csv")}
    made = airchain.predict(airchain.reconcile(demo, two), "full")
    power, boost = at_best_power(made)
    assert power < 0.1
    assert boost < 2.4
    assert any("boost band is wide because nobody has measured this load" in n for n in made.notes)


def test_rounding_goes_with_each_pull_whatever_its_length() -> None:
    long, short = pull("tame", 1), pull("middle", 2)
    short = short.rows(np.arange(0, len(short), 2))
    step = {"plenum_pressure": 20e3, "torque": 40.0, "plenum_temperature": 20.0, "air_flow": 0.05}

    def width(rounding: dict[str, float]) -> float:
        pulls = {
            "tame": long.replace(rounding=rounding),
            "middle": short.replace(rounding=rounding),
        }
        low, high = airchain.reconcile(build(), pulls, UNKNOWNS).interval("volumetric_efficiency")
        return high - low

    assert width(step) > 1.05 * width({})


def test_the_chain_is_trusted_less_away_from_the_loads_measured() -> None:
    rpm = np.array([4000.0, 5500.0, 7000.0])
    fit = airchain.reconcile(build(), {"tame": pull("tame", 1)}, UNKNOWNS)
    grown = {d.part for d in DRIFTS}
    for part in grown:
        assert np.allclose(airchain.predict(fit, "tame", rpm).parts["torque"][part], 0.0, atol=0.02)
    made = airchain.predict(fit, "full", rpm)
    here, there = (np.asarray(p["plenum_density"]) for p in (
        fit.fitted_build("tame").pull(rpm), made.pull))  # fmt: skip
    far = np.log(there / here) / np.log(1.5)
    assert np.all(far > 0.2)
    # Torque follows air: 4 % of what the cylinders give, drive and friction included.
    gross = made.pull["indicated_pressure"] / made.pull["brake_pressure"]
    share = np.sqrt(made.parts["torque"]["indicated_efficiency"]) / made.pull["torque"]
    assert share == pytest.approx(0.04 * far * gross, rel=0.02)
    # Downwards too.
    high = airchain.reconcile(build(), {"full": pull("full", 2)}, UNKNOWNS)
    down = airchain.predict(high, "tame", rpm).parts["torque"]["indicated_efficiency"]
    assert np.all(np.sqrt(down) > 0.5 * 0.04 * far * fit.fitted_build("tame").pull(rpm)["torque"])


def test_a_wrong_part_moves_boost_and_torque_together() -> None:
    # A drift of the head is felt in boost and torque as the chain has it, by a finite change.
    rpm = np.array([7000.0])
    only = {d.part: {"drift": 0.03 if d.part == "compressor_head" else 0.0} for d in DRIFTS}
    fit = airchain.reconcile(build(), {"tame": pull("tame", 1)}, UNKNOWNS, accuracy=only)
    made = airchain.predict(fit, "full", rpm)
    speeds = [p["corrected_speed"] for p in (made.pull, fit.fitted_build("tame").pull(rpm))]
    size = 0.03 * np.log(speeds[0] / speeds[1]) / np.log(1.5)
    chain = fit.fitted_build("full").chain
    head = chain.compressor.head_scale * float(1.0 - size[0])
    less = _core.solve(chain.replace(compressor=chain.compressor.replace(head_scale=head)),
                       {"engine_speed": rpm * np.pi / 30.0})  # fmt: skip
    for name in ("torque", "plenum_pressure"):
        moved = made.pull[name] - less[name]
        assert np.sqrt(made.parts[name]["compressor_head"]) == pytest.approx(moved, rel=0.1)


def test_saved_fit_comes_back_the_same(tmp_path: Path) -> None:
    file = both().save(tmp_path / "fit.toml")
    again = airchain.read_fit(file, build())
    assert np.allclose(again.values, both().values, rtol=1e-12)
    assert np.allclose(again.covariance, both().covariance, rtol=1e-6)
    assert again.fingerprints == both().fingerprints
    rpm = [4000.0, 7000.0]
    one, other = (airchain.predict(fit, "full", rpm).expected("power") for fit in (both(), again))
    assert np.allclose(one, other, rtol=1e-9)


def test_a_saved_fit_minds_numbers_not_notes(tmp_path: Path) -> None:
    file = both().save(tmp_path / "fit.toml")
    whose = {"build.notes": "put right", "report": {"customer": "Somebody invented"}}
    again = airchain.read_fit(file, build().replace(whose))
    assert np.array_equal(again.values, airchain.read_fit(file, build()).values)


def test_a_pull_of_another_level_is_not_called_a_fit_alone() -> None:
    wrong = airchain.reconcile(build(), {"full": pull("tame", 1)}, UNKNOWNS)
    assert "but only with compressor head and compressor flow far from" in wrong.verdict
    assert any("pull of another drive level" in note for note in wrong.notes)


def test_saved_fit_refuses_another_build(tmp_path: Path) -> None:
    file = both().save(tmp_path / "fit.toml")
    other = build().replace({"cooler.effectiveness": 0.7})
    with pytest.raises(InputError, match=r"build_fingerprint = .*; must be that of"):
        airchain.read_fit(file, other)
    file.write_text("format = ")
    with pytest.raises(InputError, match="must be a fitted build in TOML"):
        airchain.read_fit(file, build())


def test_a_pull_that_does_not_belong_is_flagged_not_averaged_in() -> None:
    odd = pull("full", 3, Truth(indicated_efficiency=0.90))
    three = {"tame": [pull("tame", 1), pull("tame", 4)], "full": [pull("full", 2), odd]}
    fit = airchain.reconcile(build(), three, UNKNOWNS)
    # A tenth less work is more than a tenth less torque: pumping and friction stay.
    reads = float(np.mean(odd.columns["torque"] / pull("full", 3).columns["torque"]))
    assert 0.86 < reads < 0.88
    words = r"The torque of full \(pull 4 of 4\) reads ([\d.]+) times"
    (told,) = [m for m in (re.search(words, note) for note in fit.notes) if m]
    assert float(told[1]) == pytest.approx(reads, abs=0.03)  # pulls scatter by some 1 % each
    rest = {"tame": three["tame"], "full": [three["full"][0], odd.with_columns(torque=None)]}
    alone = airchain.reconcile(build(), rest, UNKNOWNS)
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
    assert "rotor speed by" in made.extrapolation
    assert "plenum pressure by" in made.extrapolation
    assert "within the speeds" in airchain.predict(fit, "tame", [4000.0, 6000.0]).extrapolation


def test_four_numbers_rest_on_the_prior() -> None:
    few = pull("tame", 1).rows([5, 40])
    fit = airchain.reconcile(build(), {"tame": few.with_columns(air_flow=None)}, UNKNOWNS)
    assert any("prior" in v for v in fit.notes)
    assert any("tell next to nothing of" in v for v in fit.notes)
    assert any("A sensor of air flow would" in v for v in fit.notes)


def test_unknown_at_its_bound_has_an_interval_on_one_side() -> None:
    # A good cooler, whose charge comes out colder than the coolant that was typed.
    typed = build().replace({"cooler.effectiveness": 0.9, "cooler.coolant_temperature": "318 K"})
    cold = pull("full", 2, Truth(cooler_effectiveness=1.2))
    tight = {"plenum_temperature": {"least_bias": 0.1, "structure": 0.001, "lag_width": 0.01}}
    fit = airchain.reconcile(typed, {"full": cold}, ["cooler_effectiveness"], accuracy=tight)
    assert fit.at_bound[0]
    assert fit.values[0] == pytest.approx(1.0 / 0.9, rel=2e-3)
    low, high = fit.interval("cooler_effectiveness")
    assert 1.05 < low < fit.values[0]
    assert high == pytest.approx(1.0 / 0.9)
    assert any("stands at its bound" in v for v in fit.notes)
    assert any("as cold as its coolant" in v for v in fit.notes)


@pytest.mark.parametrize("factor", [0.9, 1.08])
def test_a_measured_cooler_curve_is_scaled_either_way(factor: float) -> None:
    # Effectiveness as a measured curve that says 0.8 at every flow, and a cooler that differs.
    flows = [0.2, 0.6, 1.2, 1.8]
    curved = build().replace({
        "cooler.effectiveness": None,
        "cooler.measured": {"flow": [f"{w} kg/s" for w in flows], "effectiveness": [0.8] * 4},
    })  # fmt: skip
    real = Truth(cooler_effectiveness=factor)
    fits = [airchain.reconcile(b, {"full": pull("full", 2, real)}, UNKNOWNS)
            for b in (curved, build())]  # fmt: skip
    low, high = fits[0].interval("cooler_effectiveness")
    assert low < factor < high
    assert not fits[0].at_bound.any()
    assert np.allclose(fits[0].values, fits[1].values, rtol=1e-5)
    shape = fits[0].fitted_build("full").chain.cooler.shape
    assert np.allclose(shape.y, 0.8 * fits[0].values[-1])


def test_shares_add_up_in_any_order() -> None:
    a, b = build().level("tame"), build().level("full").replace({"combustion.quality": 0.8})
    there = airchain.explain(a, b, rpm=6500.0)
    back = airchain.explain(b, a, rpm=6500.0)
    assert sum(there.shares.values()) == pytest.approx(there.second - there.first, rel=1e-12)
    assert there.shares.keys() == {"drive speed", "indicated efficiency"}
    for name, share in there.shares.items():
        assert share == pytest.approx(-back.shares[name], rel=1e-9)
    assert sum(there.effects.values()) == pytest.approx(there.second - there.first, rel=1e-9)
    # Two factors: what they do beyond each alone is shared half and half.
    (together,) = there.interactions.values()
    for name, share in there.shares.items():
        assert share == pytest.approx(there.alone[name] + 0.5 * together, rel=1e-9)


def test_speeds_without_an_answer_are_named_and_do_not_spoil_the_others() -> None:
    rpm = np.array([6000.0, 7000.0, 8500.0, 8700.0])  # similarity ends before the last two
    some, whole = (airchain.predict(both(), "high", n) for n in (rpm[:2], rpm))
    assert whole.status == ["matched", "matched", "outside_map", "outside_map"]
    for name in ("torque", "plenum_pressure"):
        assert whole.get(name)[:2] == pytest.approx(some.get(name), rel=1e-12)
        assert whole.band(name)[1][:2] == pytest.approx(some.band(name)[1], rel=1e-9)
        assert np.isnan(whole.get(name)[2:]).all()
    assert "Nothing is predicted at 8,500, 8,700 rpm: the chain has no answer" in whole.notes[0]
    assert whole.tables()[0].rows[2][1] == "–"
    assert not any("Nothing is predicted" in note for note in some.notes)


def test_three_pulls_are_fitted_where_the_chain_answers() -> None:
    # The last rows lie over 10 % above the highest line of the compressor's map.
    rng, own = np.random.default_rng(3), structure(np.random.default_rng(7))
    beyond = measured(Truth(), "high", rng, own, 60, top=8700.0)
    fit = airchain.reconcile(
        build(), {"tame": pull("tame", 1), "full": pull("full", 2), "high": beyond}, UNKNOWNS
    )
    assert any("points are left out, because the chain has no answer" in n for n in fit.notes)
    assert np.isfinite(fit.values).all()
    assert all(np.isfinite(c.answers["torque"].offset) for c in fit.leave_one_out().values())


def test_a_prediction_answers_in_any_unit() -> None:
    prediction = airchain.predict(both(), "full", [4000.0, 5500.0, 7000.0])
    power = prediction.get("power", "hp")
    assert power == pytest.approx(prediction.get("power") / 745.69987, rel=1e-6)
    assert prediction.at(7000.0, "power", "hp") == power[2]
    assert prediction.peak("power", "hp") == (power.max(), prediction.rpm[power.argmax()])
    low, high = prediction.band_at(7000.0, "boost", "psi")
    assert low < prediction.at(7000.0, "boost", "psi") < high
    with pytest.raises(InputError, match='channel = "powr"; must be one of power'):
        prediction.get("powr")
    with pytest.raises(InputError, match="rpm = 9000 rpm; must be 4000 to 7000 rpm"):
        prediction.at(9000, "power")


def test_a_difference_needs_two_builds_or_two_pulls_of_a_fit() -> None:
    with pytest.raises(InputError, match="first = 0; must be a Build; a pull is named together"):
        airchain.explain(0, 1, rpm=6000.0)
    with pytest.raises(InputError, match="second = 2; must be the number of a pull of the fit"):
        airchain.explain(0, 2, rpm=6000.0, fit=both())
    named = airchain.explain("tame", "full", rpm=6000.0, fit=both())
    assert named.shares == airchain.explain(0, 1, rpm=6000.0, fit=both()).shares


def test_measured_difference_names_what_is_not_explained() -> None:
    split = airchain.explain(0, 1, rpm=6000.0, fit=both())
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
        ({"accuracy": {"torque": {"bias": -1.0}}}, "bias = -1.0; must be from 0 to 1000000000"),
        (
            {"accuracy": {"compressor_head": {"drift": -1.0}}},
            "drift = -1.0; must be from 0 to 1000000",
        ),
        ({"rounding": {"torque": "1 psi"}}, "rounding.torque"),
        ({"rounding": {"torque": ["1 lb ft", ""]}}, "2 texts; must hold one last digit, or one fo"),
        ({"pulls": []}, "must hold at least one MeasuredPull"),
        ({"pulls": [3]}, "pulls = int; must be a MeasuredPull"),
    ],
)
def test_reconcile_names_the_bad_input(change: dict, message: str) -> None:
    with pytest.raises(InputError, match=message):
        airchain.reconcile(**{"build": build().level("tame"), "pulls": [pull("tame", 1)], **change})


def test_a_report_of_a_fit_holds_one_set_of_numbers() -> None:
    with pytest.raises(InputError, match="be of the build as it was fitted"):
        airchain.make_report(build(), both(), steps=airchain.ladder(build()), complete=False)
    fitted = both().fitted_build()
    told = airchain.make_report(build(), both(), steps=airchain.ladder(fitted), complete=False)
    made = airchain.make_report(build(), both(), complete=False)
    assert (told.owner, told.workshop) == (made.owner, made.workshop)


def test_report_holds_the_fit_and_what_it_predicted(tmp_path: Path) -> None:
    told = airchain.predict(both(), "full").compare(pull("full", 5))
    made = airchain.make_report(build(), both(), [told], complete=False)
    text = made.workshop.write(tmp_path / "book.html").read_text()
    assert "Measured and predicted" in text
    assert "compressor head" in text
    assert "independent chain, full, predicted" in text
    first = made.owner.html
    assert "Measured against predicted" in first
    assert "All pages stand on the build as it was fitted to 2 measured pulls." in first
    assert re.search(r"The dyno read [0-9,]+ hp at [0-9,]+ rpm on full\.", first)
    plain = airchain.make_report(build(), complete=False)
    assert "Measured and predicted" not in plain.workshop.html
    assert "Measured against predicted" not in plain.owner.html
