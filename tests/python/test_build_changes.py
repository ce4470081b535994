"""A build is its document and its changes: every way to one state gives one build."""

import pickle
from collections.abc import Callable
from itertools import permutations
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import airchain
import scenario
from airchain import _core
from airchain.base.errors import InputError
from airchain.chain.build import Build
from airchain.chain.changes import (
    Change,
    DriveRatio,
    Factors,
    Instant,
    LinksFitted,
    Mixture,
    Weather,
)
from airchain.chain.factors import FACTORS, SHAPE, Factor

RPM = [4000.0, 6500.0]
FIT = Factors(
    (
        Factor("volumetric_efficiency", 0.97),
        Factor("compressor_head", 1.03),
        Factor("cooler_effectiveness", 0.9),
        Factor("friction", 1.1),
        Factor("belt_slip", 0.013),
    )
)
DAY = Weather(pressure=96_512.3, temperature=303.7, relative_humidity=0.31,
              coolant_temperature=295.0)  # fmt: skip

Step = Callable[[Build], Build]


def same(one: Build, other: Build) -> bool:
    """Whether two builds are equal in every way that can be asked, bit for bit in a pull."""
    pulls = [build.pull(RPM).columns for build in (one, other)]
    numbers = all(np.array_equal(pulls[0][n], pulls[1][n], equal_nan=True) for n in pulls[0])
    equal = one == other and hash(one) == hash(other) and one.fingerprint == other.fingerprint
    assert equal == numbers or not numbers
    return equal and numbers


numbers = st.floats(0.9, 1.1)
#: Changes of which no two say the same thing, so that their order must not matter.
INDEPENDENT: list[Step] = [
    lambda build: build.level("tame"),
    lambda build: build.changed(DAY),
    lambda build: build.changed(FIT),
    lambda build: build.changed(Mixture(0.83)),
    lambda build: build.replace({"charge_duct.loss_coefficient": 0.6}),
]


@given(st.permutations(INDEPENDENT))
def test_changes_of_different_things_commute(order: list[Step]) -> None:
    build, expected = scenario.typed(), scenario.typed()
    for step in order:
        build = step(build)
    for step in INDEPENDENT:
        expected = step(expected)
    assert same(build, expected)


factors = st.lists(
    st.builds(Factor, st.sampled_from([n for n in FACTORS if n not in (SHAPE, "belt_slip")]),
              numbers, st.just(0.0)),
    max_size=4, unique_by=lambda factor: factor.name,
)  # fmt: skip
weathers = st.builds(
    Weather, st.floats(80e3, 105e3), st.floats(260.0, 320.0), st.floats(0.0, 1.0),
    st.one_of(st.none(), st.floats(280.0, 330.0)),
)  # fmt: skip
steps: st.SearchStrategy[Step] = st.one_of(
    st.sampled_from(["tame", "middle", "full", ""]).map(lambda name: lambda b: b.level(name)),
    factors.map(lambda found: lambda b: b.changed(Factors(tuple(found)))),
    weathers.map(lambda day: lambda b: b.changed(day)),
    st.floats(0.75, 0.95).map(lambda value: lambda b: b.changed(Mixture(value))),
    st.floats(0.7, 1.3).map(lambda ratio: lambda b: b.changed(DriveRatio("asked", ratio))),
    st.floats(50.0, 80.0).map(
        lambda degrees: lambda b: b.replace({"ambient.temperature": f"{degrees!r} degF"})
    ),
    st.floats(0.3, 0.8).map(
        lambda value: lambda b: b.replace({"charge_duct.loss_coefficient": value})
    ),
    st.floats(300.0, 700.0).map(lambda speed: lambda b: b.changed(Instant(speed, 50.0))),
)


def stepped(build: Build, step: Step) -> Build:
    """The next build; the same where factors upon factors leave the range of what they scale."""
    try:
        return step(build)
    except airchain.InputError as refused:
        scaled = any(isinstance(change, Factors) for change in build.changes)
        if not scaled or "must be between" not in str(refused):
            raise
        return build


@given(st.lists(steps, max_size=6))
def test_any_build_replaced_by_nothing_or_saved_is_itself(way: list[Step]) -> None:
    build = scenario.typed()
    for step in way:
        build = stepped(build, step)
    assert same(build.replace({}), build)
    assert same(pickle.loads(pickle.dumps(build)), build)
    with TemporaryDirectory() as folder:
        assert same(airchain.load(build.save(Path(folder) / "saved.toml")), build)


@given(st.sampled_from(sorted(FACTORS)), st.floats(1e-12, 0.05))
def test_a_number_that_differs_by_the_least_makes_another_build(name: str, by: float) -> None:
    factor = Factor(name, 1.0 + by, 5000.0 if name == SHAPE else 0.0)
    if name == "belt_slip":
        factor = Factor(name, by)
    build = scenario.typed()
    fitted = build.changed(Factors((factor,)))
    assert fitted != build
    assert fitted.fingerprint != build.fingerprint


AXES = {
    "cooler.effectiveness": [0.6, 0.75],
    "charge_duct.loss_coefficient": [0.4, 0.8],
    "ambient.temperature": ["20 degC", "95 degF"],
    "engine.friction_constant": ["30 kPa", "40 kPa"],
    "combustion.quality": [0.8, 0.9],
    "exhaust.loss_coefficient": [1.0, 2.0],
    "engine.stroke": ["3.9 in", "4.0 in"],
}
CHANGED = (FIT, DAY, Mixture(0.83), Instant(500.0, 40.0, 285.0))


@pytest.mark.parametrize("path", AXES)
@pytest.mark.parametrize("dew_point", [False, True])
@pytest.mark.parametrize("changes", [(), CHANGED[:1], CHANGED])
def test_a_sweep_is_the_single_builds_bit_for_bit(
    path: str, dew_point: bool, changes: tuple[Change, ...]
) -> None:
    build = scenario.typed()
    if dew_point:
        build = build.replace({"ambient.humidity": None, "ambient.dew_point": "10 degC"})
    for change in changes:
        build = build.changed(change)
    if path.startswith("cooler"):
        build = build.replace({"cooler.measured": None, "cooler.effectiveness": 0.7})
    grid = airchain.sweep(build, {path: AXES[path], "rpm": RPM}, ["power", "boost"])
    for row, value in enumerate(AXES[path]):
        single = build.replace({path: value}).pull(RPM)
        for name in ("power", "boost"):
            assert np.array_equal(grid[name].values[row], single[name])


def test_a_sweep_of_several_paths_is_the_single_builds_bit_for_bit() -> None:
    build = scenario.typed().level("tame").changed(FIT)
    axes = {"ambient.temperature": [290.0, 305.0], "charge_duct.loss_coefficient": [0.4, 0.8],
            "level": ["tame", "full"], "rpm": RPM}  # fmt: skip
    grid = airchain.sweep(build, axes, ["power"])["power"]
    for i, warm in enumerate(axes["ambient.temperature"]):
        for j, loss in enumerate(axes["charge_duct.loss_coefficient"]):
            typed = {"ambient.temperature": f"{warm} K", "charge_duct.loss_coefficient": loss}
            for k, level in enumerate(axes["level"]):
                single = build.level(level).replace(typed).pull(RPM)
                assert np.array_equal(grid.values[i, j, k], single["power"])


def test_equal_states_are_equal_however_they_were_typed() -> None:
    build = scenario.typed()
    typed = build.replace({"ambient.temperature": "308.15 K"})
    assert typed == build.replace({"ambient.temperature": "35 degC"})
    aspirated = [
        build.level("full").naturally_aspirated(), build.naturally_aspirated(),
        build.changed(DAY).naturally_aspirated().replace({"ambient.temperature": "77 degF"}),
    ]  # fmt: skip
    assert aspirated[0] == aspirated[1]
    assert aspirated[2] != aspirated[1]
    assert len({build, build.replace({}), build.level("full").level("")}) == 1


def test_what_is_said_last_holds() -> None:
    build, typed = scenario.typed(), {"ambient.temperature": "95 degF"}
    warm = build.changed(DAY).replace(typed).chain.ambient
    assert warm.temperature == pytest.approx(308.15)
    assert (warm.pressure, warm.relative_humidity) == (DAY.pressure, DAY.relative_humidity)
    assert build.replace(typed).changed(DAY).chain.ambient.temperature == DAY.temperature
    assert build.changed(DAY).changed(Weather(temperature=290.0)).chain.ambient == (
        build.chain.ambient.replace(
            pressure=DAY.pressure, temperature=290.0, relative_humidity=DAY.relative_humidity
        )
    )
    cool = {"cooler.coolant_temperature": "60 degF"}
    assert build.changed(DAY).replace(cool).chain.cooler == build.replace(cool).chain.cooler
    assert build.changed(Mixture(0.8)).replace({"fuel.lambda": 0.9}) == build.replace(
        {"fuel.lambda": 0.9}
    )


def test_a_fit_stays_on_whatever_is_replaced_or_fitted() -> None:
    build = scenario.typed()
    fitted = build.changed(FIT)
    assert fitted != build
    for changed in (fitted.replace({"inlet": None}), fitted.level("tame"), fitted.changed(DAY)):
        drive = {"tame": build.level("tame")}.get(changed.level_name, build).chain.drive
        ratio = float(drive.drive_ratio) * (1.0 - 0.013)
        assert changed.chain.drive.drive_ratio == ratio
        assert changed.chain.breathing.scale == 0.97
    twice = fitted.changed(Factors((Factor("friction", 1.1),))).chain.engine
    assert twice.friction_constant == fitted.chain.engine.friction_constant * 1.1


def test_links_of_a_plan_keep_the_compressor_and_take_the_slip(tmp_path: Path) -> None:
    build = scenario.typed()
    pulleys = _core.PulleyPair(driving_diameter=0.2, driven_diameter=0.1, slip=0.01)
    fitted = build.changed(FIT).changed(LinksFitted("belt", (pulleys, build.links[1])))
    assert fitted.level_name == "belt"
    assert fitted.chain.drive.inertia == build.chain.drive.inertia
    alone = build.changed(LinksFitted("belt", (pulleys, build.links[1]))).chain.drive.drive_ratio
    assert fitted.chain.drive.drive_ratio == alone * (1.0 - 0.013)
    assert same(airchain.load(fitted.save(tmp_path / "belt.toml")), fitted)


def test_a_saved_build_finds_its_map_from_another_folder(tmp_path: Path) -> None:
    from test_buildfile import BLOWN, MAP

    (tmp_path / "here").mkdir()
    (tmp_path / "there").mkdir()
    (tmp_path / "here" / "map.csv").write_text(MAP)
    (tmp_path / "here" / "blown.toml").write_text(BLOWN)
    build = airchain.load(tmp_path / "here" / "blown.toml").changed(DAY)
    assert airchain.load(build.save(tmp_path / "there" / "blown.toml")) == build


def test_orders_of_three_with_an_instant_and_no_compressor() -> None:
    aspirated: list[Step] = [
        lambda build: build.naturally_aspirated(),
        lambda build: build.changed(DAY),
        lambda build: build.changed(Instant(500.0, 40.0, 285.0)),
        lambda build: build.changed(FIT),
    ]
    made = []
    for order in permutations(aspirated):
        build = scenario.typed()
        for step in order:
            build = step(build)
        made.append(build)
    assert len(set(made)) == 1


def test_a_chain_cannot_be_swapped_into_a_build() -> None:
    from dataclasses import replace

    with pytest.raises(TypeError):
        replace(scenario.typed(), chain=scenario.typed().chain)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ('[[changes]]\nkind = "levl"\nname = "tame"', r'changes.0.kind = "levl".*mean "level"'),
        ("[[changes]]\nname = 3", "changes.0.kind = missing; must be one of"),
        ("changes = 3", "changes = 3; must be a list of tables"),
        ('[[changes]]\nkind = "level"', "changes.0.name = missing"),
        ('[[changes]]\nkind = "level"\nname = "tamed"', r'level = "tamed"; must be one of tame'),
        ('[[changes]]\nkind = "weather"\npresure = "1 bar"', "presure.*did you mean"),
        ('[[changes]]\nkind = "weather"\ntemperature = "3 K"', "temperature = 3 K; must be"),
        ('[[changes]]\nkind = "factors"\nfactors = { frict = 1.1 }', 'mean "friction"'),
        ('[[changes]]\nkind = "factors"\nfactors = { friction = "a" }', "friction"),
        (f'[[changes]]\nkind = "factors"\nfactors = {{ "{SHAPE}@x" = 1.1 }}', "engine speed"),
    ],
)
def test_names_the_bad_change_in_a_file(tmp_path: Path, text: str, message: str) -> None:
    scenario.typed().save(tmp_path / "build.toml")
    whole = (tmp_path / "build.toml").read_text()
    first = whole.index("[build]")
    # A key outside every table has to come first.
    whole = text + "\n" + whole if text.startswith("changes =") else whole + text
    assert first >= 0
    (tmp_path / "build.toml").write_text(whole)
    with pytest.raises(InputError, match=message):
        airchain.load(tmp_path / "build.toml")
