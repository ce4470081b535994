"""Faults by name: found where the channels tell, an honest doubt elsewhere, the sound pull sound.

The whole grid is behind the slow marker; what its first run found stands there.
"""

from copy import deepcopy
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import airchain
from airchain.cli.main import cli
from airchain.faults.cylinders import weakest
from airchain.faults.diagnosis import Diagnosis
from fault_grades import Grade, graded, reference, summary
from faulty_engines import CYLINDERS, HEALTHY, both, cases
from synthetic_pulls import build

#: What an engine of the whole grid cannot run with: it swallows more than the choked inlet gives.
STOPPED = {(4006, "inlet_choking", "large")}
#: A seed that nothing was tuned on.
SEED = 3000
CASES = {(case.fault, case.size): case for case in cases()}
#: Faults of a well equipped cell that one engine each is looked at for in the ordinary tests: one
#: of the chain, of the footing and of a probe; then more of the chain.
FOUND = (
    ("valves_floating", "middle"), ("gauge_for_absolute", "small"),
    ("plenum_pressure_offset", "large"),
    *(pytest.param(fault, size, marks=pytest.mark.slow) for fault, size in (
        ("boost_leak", "large"), ("belt_slip", "middle"), ("inlet_choking", "large"),
        ("cooler_weak", "large"))),
)  # fmt: skip


@pytest.mark.parametrize(("fault", "size"), FOUND)
def test_a_fault_is_named_where_the_channels_suffice(fault: str, size: str) -> None:
    grade = graded(SEED, CASES[fault, size], more=True)
    assert grade.suffices, (grade.from_healthy, grade.from_others, grade.nearest)
    assert grade.right
    assert not grade.told.healthy
    assert grade.told.named is not None
    assert grade.told.named.fault.words in grade.told.verdict


@pytest.mark.parametrize("more", [False, True])
def test_a_sound_pull_is_called_sound_and_says_what_it_would_not_show(more: bool) -> None:
    told = graded(SEED, HEALTHY, more).told
    assert told.healthy
    assert told.verdict.endswith("nothing is seen to be wrong.")
    note, *_ = told.notes
    assert note.startswith("Smaller faults than these would not show:")
    assert told.effects("power", 6000.0) == {}


def slipping() -> Grade:
    """A belt that slips a little, with four channels."""
    return graded(SEED, CASES["belt_slip", "small"], more=False)


def test_what_four_channels_cannot_tell_apart_is_said_with_what_would() -> None:
    grade = slipping()
    assert not grade.suffices
    assert not grade.misled
    if not grade.told.healthy:
        names = [s.name for s in grade.told.rivals]
        assert {"belt_slip", "inlet_choking"} <= set(names)
        assert "cannot tell" in grade.told.verdict
        assert any("would tell them apart" in note for note in grade.told.notes)


def twice(
    one: tuple[str, str], other: tuple[str, str], more: bool, seed: int = SEED
) -> tuple[Diagnosis, object]:
    """A diagnosis of a pull with two faults at once, and the fit that it rests on."""
    day, fit = reference(seed, more, True)
    day = replace(day, rng=deepcopy(day.rng), shared=dict(day.shared))
    pull = day.read("full", both(CASES[one], CASES[other]))
    return airchain.diagnose(fit, pull, "full", cylinders=CYLINDERS), fit


@pytest.mark.parametrize(("one", "other"), [
    pytest.param(("belt_slip", "large"), ("cooler_weak", "large"), marks=pytest.mark.slow),
    (("cooler_weak", "large"), ("plenum_pressure_offset", "large")),
    pytest.param(("valves_floating", "large"), ("air_flow_offset", "large"),
                 marks=pytest.mark.slow),
])  # fmt: skip
def test_two_faults_at_once_are_named_where_one_alone_explains_nothing(
    one: tuple[str, str], other: tuple[str, str]
) -> None:
    told, fit = twice(one, other, more=True)
    assert told.named is None
    assert told.two is not None
    assert {s.name for s in told.two.suspects} == {one[0], other[0]}
    assert "one fault alone does not explain it" in told.verdict
    assert not told.healthy
    for suspect in told.two.suspects:
        assert any(suspect.fault.check in note for note in told.notes)
    split = airchain.explain(1, told, rpm=6500.0, column="plenum_pressure", fit=fit)
    for suspect in told.two.suspects:
        assert suspect.fault.short in split.shares
    assert sum(split.shares.values()) + split.residual == pytest.approx(split.second - split.first)


# Of seeds 3000 to 3005 three leave two pairs open, this one among them. In the others a wrong pair
# has 80 to 88 %, and its text says that another pair has the rest.
def test_two_faults_that_few_channels_leave_open_are_told_as_such() -> None:
    told, _ = twice(("belt_slip", "large"), ("cooler_weak", "large"), more=False, seed=SEED + 1)
    assert told.named is None
    assert "one fault alone does not explain it" in told.verdict
    assert len(told.pairs) > 1
    listed = [{s.name for s in pair.suspects} for pair in told.pairs if pair.share > 0.04]
    assert {"belt_slip", "cooler_weak"} in listed
    assert any("The chances of two at once stand" in note for note in told.notes)


def test_one_fault_is_never_called_two() -> None:
    for fault in ("belt_slip", "valves_floating"):
        told = graded(SEED, CASES[fault, "large"], more=True).told
        assert told.pairs == (), fault


def test_explain_puts_the_difference_on_the_fault() -> None:
    case = CASES["belt_slip", "large"]
    told = graded(SEED, case, more=True, level="middle").told
    _, fit = reference(SEED, True, True)
    split = airchain.explain(1, told, rpm=6500.0, column="power", fit=fit)
    lost = split.shares["belt slip"]
    assert lost < -5e3
    assert abs(split.residual) < 0.5 * abs(lost)
    assert sum(split.shares.values()) + split.residual == pytest.approx(split.second - split.first)
    boost = airchain.explain(1, told, rpm=6500.0, column="plenum_pressure", fit=fit)
    assert boost.shares["belt slip"] < 0.0


def test_the_cylinder_that_is_down_is_named() -> None:
    rng = np.random.default_rng(5)
    rows = 60
    hot = 1100.0 + 15.0 * rng.standard_normal(CYLINDERS)[:, None] + np.zeros((CYLINDERS, rows))
    down = hot.copy()
    down[4] -= 250.0
    told = weakest({"exhaust_temperature": down})
    assert told is not None
    assert (told.number, told.share > 0.99, told.log_odds > 10.0) == (5, True, True)
    sound = weakest({"exhaust_temperature": hot})
    assert sound is not None
    assert sound.log_odds < 0.0
    assert weakest({}) is None


def test_readings_by_cylinder_decide_between_spark_and_one_cylinder() -> None:
    case = CASES["cylinder_down", "large"]
    day, fit = reference(SEED, False, False)
    pull = day.read("middle", case)
    alone = airchain.diagnose(fit, pull, "middle", cylinders=CYLINDERS)
    lambdas = np.full((CYLINDERS, len(pull)), 0.86)
    lambdas[2] = 1.3
    told = airchain.diagnose(fit, pull, "middle", by_cylinder={"lambda": lambdas})
    assert told.named is not None
    assert told.named.name == "cylinder_down"
    assert "It is cylinder 3." in told.notes
    assert {s.name for s in alone.rivals} & {"ignition_late", "torque_offset", "cylinder_down"}


def test_a_build_without_a_fit_is_looked_at_too() -> None:
    day, _ = reference(SEED, False, False)
    pull = day.read("tame")
    low = pull.with_columns(plenum_pressure=pull["plenum_pressure"] - 98e3)
    told = airchain.diagnose(build().level("tame"), low)
    assert told.named is not None
    assert told.named.name == "gauge_for_absolute"


def test_the_rotor_tells_that_the_pull_was_of_another_level() -> None:
    day, fit = reference(SEED, True, True)
    mistaken = airchain.diagnose(fit, day.read("full"), "middle")
    assert mistaken.run.other_level == "full"
    assert "as the drive of level full turns it" in mistaken.verdict
    fitted = airchain.reconcile(build(True), {"middle": day.read("full")})
    assert "as the drive of level full turns it" in fitted.notes[0]
    sound = airchain.diagnose(fit, day.read("full"), "full")
    assert sound.run.other_level == ""


@pytest.mark.parametrize(("change", "said"), [
    ({"level": "fast"}, "level"),
    ({"cylinders": 40}, "cylinders = 40; must be a whole number from 1 to 16"),
    ({"by_cylinder": {"torque": np.ones((8, 5))}}, "by_cylinder"),
    ({"by_cylinder": {"lambda": np.ones(5)}}, "three cylinders or more"),
])  # fmt: skip
def test_names_the_bad_input_of_a_diagnosis(change: dict, said: str) -> None:
    day, fit = reference(SEED, False, False)
    with pytest.raises(airchain.InputError, match=said):
        airchain.diagnose(fit, day.read("tame"), **{"level": "tame", **change})
    with pytest.raises(airchain.InputError, match="source"):
        airchain.diagnose(day, day.read("tame"))
    with pytest.raises(airchain.InputError, match="diagnose: pull = list; must be a MeasuredPull"):
        airchain.diagnose(fit, [day.read("tame")], "tame")


def test_the_command_tells_the_cylinder_of_a_log(tmp_path: Path) -> None:
    from click.testing import CliRunner

    day, fit = reference(SEED, False, False)
    pull = day.read("middle", CASES["cylinder_down", "large"])
    rows = ["RPM,Observed torque (Nm),MAP (kPa abs),Charge temp (C),Air flow (g/s),Time (s),"
            + ",".join(f"EGT{k} (C)" for k in range(1, 9))]  # fmt: skip
    for i in range(len(pull)):
        egt = [830.0 + 4.0 * k + 0.05 * i - (240.0 if k == 6 else 0.0) for k in range(1, 9)]
        rows.append(
            f"{pull.rpm[i]:.0f},{pull['torque'][i]:.0f},{pull['plenum_pressure'][i] / 1e3:.1f},"
            f"{pull['plenum_temperature'][i] - 273.15:.1f},{1e3 * pull['air_flow'][i]:.0f},"
            f"{pull['time'][i]:.2f}," + ",".join(f"{t:.0f}" for t in egt)
        )  # fmt: skip
    weather = "Barometer: 98.0 kPa\nAir temperature: 25 C\nHumidity: 0 %\n"
    (tmp_path / "pull.csv").write_text(weather + "\n".join(rows) + "\n")
    fit.save(tmp_path / "fit.toml")
    typed = build().save(tmp_path / "build.toml")
    result = CliRunner().invoke(
        cli, ["diagnose", str(typed), str(tmp_path / "pull.csv"), "--fit",
              str(tmp_path / "fit.toml"), "--level", "middle", "--against", "2", "--rpm", "6000"],
    )  # fmt: skip
    assert result.exit_code == 0, result.output
    assert "one cylinder makes less than the others" in result.output
    assert "It is cylinder 6." in result.output
    assert "one cylinder down" in result.output


@pytest.mark.slow
def test_the_whole_grid_of_faults() -> None:
    """Every fault at three sizes with four channels and with eleven, on four engines; 60 sound.

    Seeds 4000 to 4005 and 4100 to 4129 found what was mended. Those of this test were run once,
    with nearly the sizes of today: the right fault stood first in 163 of 165 pulls whose channels
    could tell, and another was named alone in none of them. Of the 237 others the fault was named
    alone in 52 and stood among several in 53; 128 pulls were called sound, and one mixture that is
    off by little was called a lambda sensor that reads wrong, which its channels favour. Of the
    sound pulls 58 of 60 were called sound: one engine's charge temperature was blamed both times.
    Engine 4006 cannot run with the largest choking of its inlet, and is left out there.
    """
    grades: list[Grade] = []
    for seed in range(4006, 4010):
        level = ("full", "middle")[seed % 2]
        for more in (False, True):
            shown = [case for case in cases() if case.shows(more)]
            runs = [c for c in shown if (seed, c.fault, c.size) not in STOPPED]
            grades += [graded(seed, case, more, level) for case in runs]
            reference.cache_clear()
    for seed in range(4200, 4230):
        for more in (False, True):
            grades.append(graded(seed, HEALTHY, more, ("full", "middle")[seed % 2]))
            reference.cache_clear()
    print(summary(grades))
    able = [g for g in grades if g.case is not HEALTHY and g.suffices]
    sound = [g for g in grades if g.case is HEALTHY]
    assert len(able) > 60
    assert np.mean([g.right for g in able]) >= 0.9
    assert np.mean([g.told.healthy for g in sound]) >= 0.95
    rest = [g for g in grades if g.case is not HEALTHY and not g.suffices]
    assert np.mean([g.misled for g in rest]) <= 0.1
