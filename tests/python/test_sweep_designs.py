"""Samples of several inputs, what moves a figure most, and the best points under limits."""

from pathlib import Path
from typing import Any

import numpy as np
import pytest
import xarray as xr
from scipy import stats

import airchain
import scenario
from airchain import InputError
from airchain.sweeps import (
    Even,
    Normal,
    Recorded,
    Toleranced,
    design,
    sensitivities,
)

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def build() -> airchain.Build:
    return airchain.load(ROOT / "examples" / "one_point.toml").level("even")


def drawn(**more: Any) -> Any:
    """A design of a station's field, a typed dimension, and rows that belong together."""
    inputs = {
        "cooler.effectiveness": Even(0.6, 0.9),
        "engine.displacement": Toleranced("7 L", "0.05 L"),
        "weather": Recorded(
            {
                "ambient.temperature": ["10 degC", "20 degC", "35 degC"],
                "ambient.humidity": ["80 %", "50 %", "20 %"],
            }
        ),
    }
    return design(inputs, 64, **more)


@pytest.mark.parametrize("method", ["sobol", "latin hypercube", "random"])
def test_a_sample_is_the_pull_of_the_build_with_its_values(
    build: airchain.Build, method: str
) -> None:
    grid = airchain.sweep(build, {"rpm": [4000, 6000], "sample": drawn(method=method)}, ["power"])
    assert grid["power"].dims == ("rpm", "sample")
    assert grid["engine.displacement"].attrs["sampled"] == "7 L ± 0.05 L"
    for i in (0, 17, 63):
        one = grid.isel(sample=i)
        row, size = int(one["weather"]), one["engine.displacement"]
        typed = {
            "cooler.effectiveness": one["cooler.effectiveness"].item(),
            "engine.displacement": f"{size.item()!r} {size.attrs['units']}",
            "ambient.temperature": ["10 degC", "20 degC", "35 degC"][row],
            "ambient.humidity": ["80 %", "50 %", "20 %"][row],
        }
        alone = build.replace(typed).pull([4000, 6000])["power"]
        np.testing.assert_allclose(one["power"].to_numpy(), alone, rtol=1e-12)


def test_one_seed_draws_one_design(build: airchain.Build, tmp_path: Path) -> None:
    axes = {"sample": drawn(seed=3), "rpm": [5000]}
    one = airchain.sweep(build, axes, ["power"])
    assert one.identical(airchain.sweep(build, {**axes, "sample": drawn(seed=3)}, ["power"]))
    other = airchain.sweep(build, {**axes, "sample": drawn(seed=4)}, ["power"])
    assert other.attrs["fingerprint"] != one.attrs["fingerprint"]
    kept = airchain.sweep(build, axes, ["power"], store=tmp_path / "samples.zarr")
    np.testing.assert_array_equal(kept["power"].to_numpy(), one["power"].to_numpy())
    assert set(kept.coords) == set(one.coords)
    assert kept.load().identical(one)


def test_samples_lie_as_they_were_said_to(build: airchain.Build) -> None:
    shares = (np.arange(4096) + 0.5) / 4096
    even, _ = Even("40 degF", "104 degF").samples(build, "ambient.temperature", shares)
    assert even.min() == pytest.approx(277.594, abs=0.02)
    assert even.max() == pytest.approx(313.15, abs=0.02)
    normal, _ = Normal("25 degC", "5 K").samples(build, "ambient.temperature", shares)
    assert normal.mean() == pytest.approx(298.15, abs=1e-6)
    assert normal.std() == pytest.approx(5.0, rel=2e-3)
    part, unit = Toleranced("4.125 in", "0.003 in").samples(build, "engine.bore", shares)
    assert unit == "in"
    assert np.abs(part - 4.125).max() <= 0.003
    assert part.std() == pytest.approx(0.001, rel=0.03)


# Ishigami and Homma 1990, a = 7, b = 0.1: the function of three even inputs from -pi to pi whose
# first-order indices are known in closed form, here from memory: 0.3139, 0.4424 and 0.
ISHIGAMI = (0.3139, 0.4424, 0.0)


def ishigami(x: np.ndarray) -> np.ndarray:
    """The function of inputs along the first axis."""
    return np.sin(x[0]) + 7.0 * np.sin(x[1]) ** 2 + 0.1 * x[2] ** 4 * np.sin(x[0])


def sampled(x: np.ndarray, power: np.ndarray, kinds: list[str] | None = None) -> xr.Dataset:
    """A sweep over samples, made up."""
    names = [f"x{i}" for i in range(len(x))]
    coordinates = {
        name: ("sample", one.astype(int) if kinds and kinds[i] == "rows" else one,
               {"sampled": "even", "units": "1", "long_name": name})
        for i, (name, one) in enumerate(zip(names, x, strict=True))
    }  # fmt: skip
    columns = {"power": ("sample", power), "status": ("sample", np.zeros(power.size, np.int8))}
    return xr.Dataset(columns, coordinates, {"title": "made up"})


@pytest.mark.parametrize("method", ["sobol", "latin hypercube"])
def test_shares_agree_with_ishigami_and_with_scipy(method: str) -> None:
    shares = design({f"x{i}": Even(0.0, 1.0) for i in range(3)}, 8192, method=method).shares
    x = np.pi * (2.0 * np.array(list(shares.values())) - 1.0)
    found = {f.name: f for f in sensitivities(sampled(x, ishigami(x)), "power").factors}
    wide = stats.uniform(loc=-np.pi, scale=2.0 * np.pi)
    peer = stats.sobol_indices(func=lambda v: ishigami(v)[None], n=8192, dists=[wide] * 3, rng=1)
    for i, exact in enumerate(ISHIGAMI):
        assert found[f"x{i}"].share == pytest.approx(exact, abs=0.012)
        assert found[f"x{i}"].share == pytest.approx(peer.first_order.ravel()[i], abs=0.02)
        assert found[f"x{i}"].doubt < 0.02


def test_many_recorded_rows_explain_what_they_do_and_no_more() -> None:
    draw = np.random.default_rng(5)
    effect = draw.normal(size=300)
    row, noise = draw.integers(300, size=3000), draw.normal(size=3000)
    grid = sampled(np.array([row, draw.random(3000)]), effect[row] + noise, ["rows", ""])
    first, other = sensitivities(grid, "power").factors
    assert first.name == "x0"
    assert first.share == pytest.approx(effect.var() / (effect.var() + 1.0), abs=0.04)
    assert abs(other.share) < 0.02
    # The means of the worst and best tenth, told by samples that did not choose them.
    tenth = effect[np.argsort(effect)[-30:]].mean()
    assert 0.7 * tenth < first.high < 1.05 * tenth


def test_says_what_moves_full_level_power_most() -> None:
    full = scenario.typed().level("full")
    inputs = {
        "cooler.effectiveness": Even(0.9, 1.0),
        "drive.drive_ratio": Toleranced(full.chain.drive.drive_ratio, 0.001),
        "weather": Recorded({"ambient.temperature": [f"{t} degF" for t in range(40, 110, 2)]}),
    }
    grid = airchain.sweep(
        full, {"sample": design(inputs, 512), "rpm": [6500, 7000, 7500]}, ["power"]
    )
    found = sensitivities(grid, "power")
    assert found.factors[0].name == "weather"
    assert found.factors[0].high > found.factors[0].low
    assert "weather moves peak power most: " in found.verdict
    text = found.text()
    assert "one of 35 recorded rows" in text
    assert "Knock is not judged in a sweep" in text
    figure = found.plot()
    labels = [t.get_text() for t in figure.axes[0].get_yticklabels()]
    assert labels[-1].startswith("weather")
    colder = airchain.sweep(full, {"rpm": [7000], "ambient.temperature": ["40 degF", "108 degF"]})
    swing = float(np.ptp(colder["power"].to_numpy()))
    assert 0.6 * swing < found.factors[0].swing < 1.1 * swing


BAD_DESIGNS: dict[str, tuple[dict[str, Any], str]] = {
    "no inputs": ({"inputs": {}}, "name at least one input"),
    "plain list": ({"inputs": {"a.b": [1, 2]}}, "a.b = .*must be Even, Normal, Toleranced"),
    "method": ({"method": "sobl"}, 'method = "sobl"; .*did you mean "sobol"'),
    "count": ({"count": 1}, "count = 1; must be a whole number from 2"),
    "rows": (
        {"inputs": {"w": Recorded({"a.b": [1, 2], "a.c": [1]})}},
        "must be columns of one length",
    ),
}


@pytest.mark.parametrize("name", BAD_DESIGNS)
def test_names_the_bad_design(name: str) -> None:
    given = {"inputs": {"cooler.effectiveness": Even(0.5, 0.6)}, "count": 16}
    given |= BAD_DESIGNS[name][0]
    with pytest.raises(InputError, match=BAD_DESIGNS[name][1]):
        design(given.pop("inputs"), given.pop("count"), **given)


@pytest.mark.parametrize(
    ("inputs", "message"),
    [
        ({"cooler.effectiveness": Even(0.9, 0.6)}, r"cooler.effectiveness = .*must rise"),
        ({"cooler.effectiveness": Normal(0.9, 0.0)}, "must be above 0: how far it scatters"),
        ({"engine.displacement": Toleranced("7 L", "1 in")}, "must be a volume|both have one unit"),
        ({"cooler.efectiveness": Even(0.5, 0.6)}, "efectiveness"),
        ({"cooler.effectiveness": Even(0.5, 1.6)}, "effectiveness.*must be"),
    ],
)
def test_names_the_bad_distribution(
    build: airchain.Build, inputs: dict[str, Any], message: str
) -> None:
    with pytest.raises(InputError, match=message):
        airchain.sweep(build, {"sample": design(inputs, 64), "rpm": [5000]})


@pytest.mark.parametrize(
    "axes",
    [
        {"sample": drawn(), "cooler.effectiveness": [0.7, 0.8], "rpm": [5000]},
        {"a": {"x": {"cooler.effectiveness": 0.7}}, "cooler.effectiveness": [0.8], "rpm": [5000]},
        {"rpm": [5000], "engine_speed": [500.0]},
    ],
    ids=["design", "option", "speed"],
)
def test_an_input_is_moved_by_one_axis_only(build: airchain.Build, axes: dict[str, Any]) -> None:
    with pytest.raises(InputError, match="must be moved by one axis only"):
        airchain.sweep(build, axes)


def test_engine_speed_may_be_sampled_too(build: airchain.Build) -> None:
    both = design({"rpm": Even(3000, 7000), "cooler.effectiveness": Even(0.5, 0.9)}, 64)
    for axes in ({"sample": both}, {"sample": design({"rpm": Even(3000, 7000)}, 2)}):
        grid = airchain.sweep(build, axes, ["power"])
        assert grid["rpm"].to_numpy().min() >= 3000.0
        one = grid.isel(sample=int(np.argmax(grid["rpm"].to_numpy())))
        assert one["status"] == 0
        typed = {p: one[p].item() for p in ("cooler.effectiveness",) if p in one.coords}
        alone = build.replace(typed).pull([one["rpm"].item()])["power"][0]
        assert one["power"].item() == pytest.approx(alone, rel=1e-12)


def test_samples_without_an_answer_are_left_out_and_counted() -> None:
    draw = np.random.default_rng(2)
    x = draw.random((2, 900))
    grid = sampled(x, 5.0 * x[0] + x[1])
    grid["status"][x[1] > 0.9] = 1
    found = sensitivities(grid, "power", figure="mean")
    assert found.samples + found.left_out == 900
    assert found.left_out == int((x[1] > 0.9).sum())
    assert f"{found.left_out} of 900 samples have points without an answer" in found.text()
    first, second = found.factors
    # Of a sum of even inputs: 25 to 0.81, since the second is cut at 0.9.
    assert first.share == pytest.approx(25.0 / 25.81, abs=0.01)
    assert second.share == pytest.approx(0.81 / 25.81, abs=0.03)


def test_inputs_that_act_together_are_told_as_a_rest() -> None:
    x = 2.0 * np.random.default_rng(3).random((2, 4096)) - 1.0
    found = sensitivities(sampled(x, x[0] * x[1]), "power")
    assert all(abs(one.share) < 0.03 for one in found.factors)
    assert any("of the variance belongs to no input alone" in note for note in found.notes)


def test_sensitivities_name_what_they_lack(build: airchain.Build) -> None:
    plain = airchain.sweep(build, {"rpm": [4000, 5000]}, ["power"])
    with pytest.raises(InputError, match=r"must have one axis of samples; sweep a build over"):
        sensitivities(plain, "power")
    few = airchain.sweep(
        build, {"sample": design({"cooler.effectiveness": Even(0.5, 0.9)}, 16), "rpm": [5000]}
    )
    with pytest.raises(InputError, match="at least 64 samples whose points are all solved"):
        sensitivities(few, "power")
    with pytest.raises(InputError, match=r'name = "powr"; .*did you mean "power"'):
        sensitivities(few, "powr")
