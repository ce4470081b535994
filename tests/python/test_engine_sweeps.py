"""Camshafts and compression ratios in one call, and the pictures of the engine."""

import math
from typing import Any

import numpy as np
import pytest

import airchain
from airchain import InputError, _core, cylinder
from airchain.cylinder.crank_engine import CrankEngine
from airchain.cylinder.measured_lift import MeasuredLift
from crank_engines import EXHAUST, engine, port

DEGREE = math.pi / 180.0


@pytest.fixture(scope="module")
def v8() -> CrankEngine:
    return engine()


@pytest.fixture(scope="module")
def sweep(v8: CrankEngine) -> cylinder.CamSweep:
    return cylinder.cams_at_held_plenum(
        v8, [2500, 4500, 6500], ["100 kPa", "180 kPa"], ["102 kPa", "112 kPa"],
        duration=["220 deg", "244 deg"], centreline=["104 deg", "110 deg"],
    )  # fmt: skip


def test_cams_at_held_plenum_is_labelled_and_equals_single_runs(
    v8: CrankEngine, sweep: cylinder.CamSweep
) -> None:
    data = sweep.to_dataset()
    assert data["torque"].dims == ("duration_deg", "centreline_deg", "plenum_pressure", "rpm")
    assert data["duration_deg"].values.tolist() == [220.0, 244.0]
    knocking = int(np.count_nonzero(sweep["knock_integral"] > 1.0))
    assert sweep.verdict.startswith(
        f"invented V8: 4 camshafts, 24 points: 24 converged; {knocking} of 24 knock by the estimate"
    )
    one = v8.replace(
        {"camshaft.intake": {"duration": "244 deg", "seat_duration": "296 deg"},
         "camshaft.exhaust": {"duration": "252 deg", "seat_duration": "304 deg"},
         "camshaft.intake_centreline": "104 deg"}
    )  # fmt: skip
    alone = one.points(4500, "180 kPa", "112 kPa")
    picked = data["torque"].sel(
        duration_deg=244, centreline_deg=104, plenum_pressure=180e3, rpm=4500
    )
    assert float(picked) == pytest.approx(alone["torque"][0], rel=1e-9)
    assert "duration 244 deg, centreline 104 deg" in sweep.text()


# Directions every builder knows (common practice, no source).
def test_later_inlet_closing_moves_the_peak_up_in_rpm(v8: CrankEngine) -> None:
    rpm = np.arange(2500.0, 7501.0, 250.0)
    cams = cylinder.cams_at_held_plenum(
        v8, rpm, "100 kPa", "102 kPa", duration=["215 deg", "236 deg", "255 deg"]
    )
    filling = cams.of_cam("fresh_mass")[:, 0, :]
    # The middle of what each fills best: steadier than one highest point of a rippled curve.
    high = filling > 0.95 * filling.max(axis=1, keepdims=True)
    middle = [float(np.mean(rpm[row])) for row in high]
    assert middle[0] < middle[1] < middle[2]
    assert filling[0, 0] > filling[2, 0]
    assert filling[0, -1] < filling[2, -1]


def test_overlap_blows_fresh_charge_out_under_boost_and_lifts_residual_at_part_load(
    v8: CrankEngine,
) -> None:
    cams = cylinder.cams_at_held_plenum(
        v8, 2500, ["60 kPa", "200 kPa"], ["101 kPa", "110 kPa"],
        lobe_separation=["104 deg", "118 deg"],
    )  # fmt: skip
    lost, residual = (cams.of_cam(n)[..., 0] for n in ("scavenging_loss", "residual_fraction"))
    assert lost[0, 1] > lost[1, 1]
    assert residual[0, 0] > residual[1, 0]


def test_intake_above_exhaust_pressure_turns_the_pumping_loop_positive(v8: CrankEngine) -> None:
    points = v8.points(2500, ["100 kPa", "200 kPa"], ["115 kPa", "105 kPa"])
    assert points["pmep"][0] > 0.0 > points["pmep"][1]


def test_longer_runners_tune_lower(v8: CrankEngine) -> None:
    rpm = np.arange(3000.0, 9001.0, 250.0)

    def middle(length: str) -> float:
        filling = v8.replace({"runner.length": length}).points(rpm, "100 kPa", "102 kPa")
        mass = filling["volumetric_efficiency"]
        return float(np.mean(rpm[mass > 0.95 * mass.max()]))

    assert middle("20 in") < middle("12 in") < middle("7 in")


def test_cams_at_held_plenum_tells_progress_over_all_camshafts(v8: CrankEngine) -> None:
    told: list[tuple[int, int]] = []
    cylinder.cams_at_held_plenum(
        v8, [3000, 5000], "100 kPa", "102 kPa", duration=["220 deg", "230 deg", "240 deg"],
        progress=lambda *n: told.append(n),
    )  # fmt: skip
    assert told[-1] == (6, 6)
    assert {total for _, total in told} == {6}


BAD_SWEEPS: dict[str, tuple[dict[str, Any], str]] = {
    "nothing": ({}, "cams_at_held_plenum: axes = none; must be at least one of duration"),
    "lift beyond the bench": (
        {"lobe_lift": ["0.362 in", "0.50 in"], "duration": "250 deg"},
        "duration 250.00 deg, lobe_lift 0.500 in: CrankEngine: camshaft.intake: ",
    ),
    "duration": (
        {"duration": "320 deg"},
        "duration 320.00 deg: CrankEngine: camshaft: ",
    ),
    "separation": (
        {"lobe_separation": "60 deg"},
        "lobe_separation 60.00 deg: Cam: lobe_separation",
    ),
    "row of temperatures": (
        {"duration": "230 deg", "plenum_temperature": [300.0, 310.0]},
        "cams_at_held_plenum: plenum_temperature = .* must be one value",
    ),
    "no unit": (
        {"duration": 230},
        '^cams_at_held_plenum: duration = 230; must have a unit, such as "230 deg"$',
    ),
}


@pytest.mark.parametrize("name", BAD_SWEEPS)
def test_names_the_bad_sweep(v8: CrankEngine, name: str) -> None:
    given, message = BAD_SWEEPS[name]
    with pytest.raises(InputError, match=message):
        cylinder.cams_at_held_plenum(v8, [3000], "100 kPa", "102 kPa", **given)


def test_lift_beyond_the_piston_is_refused_before_any_work() -> None:
    tight = engine(intake_port=port(0.0525) | {"piston_gap": "0.27 in"})
    with pytest.raises(InputError, match=r"centreline 96.00 deg: .* intake_port.piston_gap"):
        cylinder.cams_at_held_plenum(
            tight, [3000], "1 bar", "1 bar", centreline=["108 deg", "96 deg"]
        )


def test_measured_lobes_take_another_place_but_no_other_duration(v8: CrankEngine) -> None:
    degrees = np.arange(-180.0, 181.0, 2.0)
    lift = v8.camshaft.curve("intake").at(degrees * DEGREE)
    measured = v8.replace(camshaft=v8.camshaft.replace(intake=MeasuredLift(degrees * DEGREE, lift)))
    found = cylinder.cams_at_held_plenum(
        measured, 4000, "1 bar", "1 bar", centreline=["104 deg", "108 deg"]
    )
    assert found["torque"].shape == (2, 1, 1)
    with pytest.raises(InputError, match="intake duration = measured"):
        cylinder.cams_at_held_plenum(measured, 4000, "1 bar", "1 bar", duration="230 deg")


@pytest.fixture(scope="module")
def limits(v8: CrankEngine) -> cylinder.KnockLimits:
    return airchain.compression_against_boost(
        v8, 4000, compression_ratio=[8.0, 11.0], plenum_pressure=["100 kPa", "200 kPa"],
        exhaust_pressure="110 kPa", fuels=["gasoline_regular", "ethanol"],
    )  # fmt: skip


def test_knock_takes_torque_where_boost_meets_compression(limits: cylinder.KnockLimits) -> None:
    assert limits["torque"].shape == (2, 2, 2)
    regular, ethanol = limits.axes["fuel"].index("gasoline_regular"), 1
    assert limits.status[ethanol, 0, 0] == "best torque"
    assert limits.status[regular, 1, 1] == "knock-limited"
    taken = 1.0 - limits["torque"] / limits["torque_without_knock"]
    assert np.all(taken > -1e-6)
    assert taken[regular, 1, 1] > taken[regular, 0, 1] > taken[ethanol, 0, 1] - 1e-6
    late = limits["half_burned"]
    assert late[regular, 1, 1] > late[regular, 0, 1] > late[regular, 0, 0]
    assert np.all(limits["torque_with_doubt"] <= limits["torque"] * (1.0 + 1e-4))


def test_knock_limit_is_where_the_integral_reaches_its_level(
    v8: CrankEngine, limits: cylinder.KnockLimits
) -> None:
    own = v8.replace(fuel={"name": "gasoline_regular", "lambda": 0.88}, compression_ratio=11.0)
    at = float(limits["half_burned"][0, 1, 1])
    # Each fuel starts from the plenum's air and cools it.
    cold, _ = _core.charge_after_fuel(own.setup.mixture.fuel, own.injection, 200e3, 305.0, 0.008)
    assert 280.0 < cold < 300.0
    point = own.points(4000, "200 kPa", "110 kPa", half_burned=at, plenum_temperature=cold)
    assert point["knock_integral"][0] == pytest.approx(1.0, abs=0.03)
    assert point["torque"][0] == pytest.approx(limits["torque"][0, 1, 1], rel=2e-3)


def test_knock_limits_state_their_doubt_and_never_say_safe(limits: cylinder.KnockLimits) -> None:
    text = limits.text()
    assert "not calibrated above octane 100" in text
    assert "± 5 degrees" in text
    assert "dynos show 8 to 10" in text
    assert "no permission" in text
    assert "safe" not in text.lower()
    assert "ethanol (108.6 RON)" in text
    assert limits.to_dataset()["torque"].dims == ("fuel", "compression_ratio", "plenum_pressure")
    for bad, message in (
        ({"fuels": ["petrol"]}, 'knock: fuels = "petrol"; must be one of'),
        ({"fuels": []}, "knock: fuels"),
        ({"spark": "20 deg"}, "knock: spark .* must be left out"),
    ):
        with pytest.raises(InputError, match=message):
            airchain.compression_against_boost(
                engine(), 4000, compression_ratio=[9.0], plenum_pressure=1e5,
                exhaust_pressure=1e5, **bad,
            )  # fmt: skip


def test_what_always_knocks_or_is_lost_has_no_number(v8: CrankEngine) -> None:
    search = _core.SparkSearch(latest=0.35, knock_level=0.02)
    found = airchain.compression_against_boost(
        v8,
        2000,
        compression_ratio=[12.0],
        plenum_pressure=["250 kPa"],
        exhaust_pressure="110 kPa",
        fuels="gasoline_regular",
        search=search,
    )
    assert found.status[0, 0, 0] == "knocks at any phasing"
    assert math.isnan(found["torque"][0, 0, 0])
    assert "knocks" in found.tables_text()


def labels(figure: Any) -> list[str]:
    """Names of the series that a figure's legends show."""
    legends = [*figure.legends, *(axes.get_legend() for axes in figure.axes)]
    return [text.get_text() for legend in legends if legend for text in legend.get_texts()]


def test_cams_are_drawn_by_plenum_pressure(sweep: cylinder.CamSweep) -> None:
    figure = sweep.plot(title="$ix$ cams")
    assert len(figure.axes) == 4
    assert labels(figure) == sweep.names
    assert figure.axes[0].get_ylabel() == "Trapped volumetric efficiency"
    assert figure.axes[2].get_ylabel() == "Torque [lb ft]"
    lines = figure.axes[0].lines
    assert len({line.get_linestyle() for line in lines}) == len(lines)
    assert sweep.plot(figure.axes, system="si") is figure
    with pytest.raises(InputError, match="plot: axes = 1; must be 4 panels"):
        sweep.plot(figure.axes[:1])
    with pytest.raises(InputError, match=r"plot: series = .*; must be at most 7; draw fewer"):
        sweep.plot(beside=[sweep, sweep, sweep])


def test_curves_are_drawn_and_read(v8: CrankEngine) -> None:
    at = {"plenum_pressure": "1 bar", "exhaust_pressure": "1 bar"}
    curve = v8.curve([3000, 4000, 5000], **at)
    other = engine(name="other", camshaft=v8.camshaft.replace(intake_centreline="104 deg"))
    figure = curve.plot(system="si", beside=[other.curve([3000, 5000], **at)], columns=["power"])
    assert labels(figure) == ["invented V8", "other"]
    assert figure.axes[0].get_ylabel() == "Power [kW]"
    assert curve.at(4000, "torque") == curve["torque"][1]
    half = 0.5 * (curve.get("torque", "lb ft")[0] + curve.get("torque", "lb ft")[1])
    assert curve.at(3500, "torque", "lb ft") == pytest.approx(half)
    assert curve.peak("torque", "lb ft")[0] == pytest.approx(curve.peak("torque")[0] / 1.3558179483)
    with pytest.raises(InputError, match="EnginePoints: rpm = 9000; must be between 3,000 and"):
        curve.at(9000, "torque")
    with pytest.raises(InputError, match="must rise in engine speed"):
        v8.points(4000, ["1 bar", "2 bar"], "1 bar").at(4000, "torque")


def test_loops_ports_and_lifts_are_drawn(v8: CrankEngine) -> None:
    trace = v8.trace(4000, "150 kPa", "110 kPa")
    quicker = v8.trace(4400, "150 kPa", "110 kPa")
    loops = trace.plot()
    assert [axes.get_xlabel() for axes in loops.axes] == ["Cylinder volume [in^3]"] * 2
    assert "4,000 rpm: PMEP" in " ".join(labels(loops))
    ports = trace.plot_ports(system="si", beside=[quicker, quicker])
    assert ports.axes[0].get_ylabel() == "Intake port [kPa]"
    assert labels(ports) == ["4,000 rpm", "4,400 rpm", "4,400 rpm (2)"]
    assert trace.get("pressure", "kPa") == pytest.approx(trace["pressure"] / 1e3)
    roomy = engine(name="roomy", intake_port=port(0.0525) | {"piston_gap": "0.35 in"})
    lifts = roomy.plot(beside=[v8])
    assert labels(lifts) == ["roomy", "invented V8"]
    dotted = [line for line in lifts.axes[0].lines if line.get_linestyle() == ":"]
    assert len(dotted) == 1
    with pytest.raises(InputError, match="plot: engines = 8; must be at most 7"):
        v8.plot(beside=[v8] * 7)


def test_knock_limits_are_drawn_with_their_doubt(limits: cylinder.KnockLimits) -> None:
    figure = limits.plot()
    assert labels(figure) == ["regular gasoline", "ethanol"]
    assert [axes.get_title() for axes in figure.axes] == ["Plenum 14.50 psia", "Plenum 29.01 psia"]
    hollow = [line for line in figure.axes[0].lines if line.get_markerfacecolor() == "white"]
    best = np.count_nonzero(limits.status[:, :, 0] == "best torque")
    assert sum(len(line.get_xdata()) for line in hollow) == best
    assert len(figure.axes[1].collections) == 2
    assert limits.get("half_burned", "deg") == pytest.approx(np.rad2deg(limits["half_burned"]))


def test_exhaust_lobe_keeps_its_difference(v8: CrankEngine, sweep: cylinder.CamSweep) -> None:
    last = sweep.engines[-1].camshaft
    assert last.exhaust.duration - last.intake.duration == pytest.approx(8 * DEGREE)
    assert last.intake.seat_duration - last.intake.duration == pytest.approx(52 * DEGREE)
    assert v8.camshaft.exhaust.duration == pytest.approx(
        float(EXHAUST["duration"].split()[0]) * DEGREE
    )
