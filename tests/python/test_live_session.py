"""The state behind a live view: knobs, frames, code that makes them, and refusals."""

from functools import cache

import numpy as np
import pytest

import airchain
import scenario
from airchain import InputError, _core
from airchain.chain.changes import Weather
from airchain.live import Session
from airchain.live.contract import schema
from airchain.live.knobs import CYCLES, KERNEL, PAGE, PAIR, RATIO, SCALED_COOLER, SPEED
from airchain.live.packing import indices, packed
from airchain.live.session import column_names


@cache
def session() -> Session:
    """A session of the demo's build with typed breathing."""
    return Session(scenario.typed().level("full"))


@cache
def with_cams() -> Session:
    """A session of the demo's build with a coarse surface."""
    return Session(airchain.load(scenario.quick()))


def test_has_the_knobs_that_a_builder_turns() -> None:
    known = session().knobs
    wanted = ["level", RATIO, SPEED, SCALED_COOLER, "ambient.temperature", "ambient.humidity"]
    wanted += ["ambient.altitude", "cooler.coolant_temperature", "fuel.lambda", "fuel.name"]
    assert set(wanted) <= set(known)
    assert {knob.how for knob in known.values()} == {PAGE}
    cams = ["engine.camshaft.intake.duration", "engine.camshaft.lobe_separation"]
    cams += ["engine.camshaft.intake_centreline", "engine.runner.length", "fuel.name"]
    assert {with_cams().knobs[path].how for path in [*cams, "fuel.lambda"]} == {CYCLES}


def test_ranges_are_those_of_the_one_list_of_fields() -> None:
    fields = {name: (low, high) for name, _, low, high, _ in _core.Cooler.fields()}
    knob = session().knob("cooler.coolant_temperature")
    assert (knob.low, knob.high) == fields["coolant_temperature"]
    for knob in session().knobs.values():
        if knob.kind:
            assert knob.low <= knob.first <= float(knob.value) <= knob.last <= knob.high


def test_a_number_with_a_name_becomes_a_knob_too() -> None:
    build = scenario.typed()
    knob = Session(build, ["combustion.quality"]).knob("combustion.quality")
    assert knob.how == PAGE
    assert knob.sets == {indices()["combustion.quality"]: 1.0}
    with pytest.raises(InputError, match="be the path of a number with a range"):
        Session(build, ["cooler.kind"])


def test_what_moves_more_than_one_number_is_left_to_the_kernel() -> None:
    # A humidity that was typed as a dew point follows the temperature.
    build = scenario.typed().replace({"ambient.humidity": None, "ambient.dew_point": "60 degF"})
    assert Session(build).knob("ambient.temperature").how == KERNEL


def test_weather_given_later_is_where_the_altitude_does_not_tell() -> None:
    build = scenario.typed().changed(Weather(pressure=90e3))
    assert Session(build).knob("ambient.altitude").how == KERNEL


TURNED: list[dict[str, str | float]] = [
    {},
    {"level": "tame"},
    {"level": "middle", "ambient.temperature": "35.5 degC", SPEED: "6500 rpm"},
    {RATIO: 1.15, "cooler.coolant_temperature": "95 degF", SCALED_COOLER: 0.9},
    {"ambient.altitude": "5200 ft", "ambient.humidity": 0.8, "fuel.lambda": 0.9},
    {"fuel.name": "gasoline_premium"},
    {PAIR: "33/40 teeth"},
    {PAIR: "36/37 teeth", RATIO: 1.1, "fuel.lambda": 0.85},
]


@pytest.mark.parametrize("values", TURNED, ids=lambda v: "+".join(v) or "as it is")
def test_copied_code_makes_exactly_the_frame(values: dict[str, str | float]) -> None:
    lines = session().code(values)
    assert lines.startswith("import airchain\n")
    made: dict[str, airchain.chain.Pull] = {}
    exec(lines, made)  # type: ignore[arg-type]
    frame = session().frame(values)
    for place, name in enumerate(column_names()):
        np.testing.assert_array_equal(made["pull"].columns[name], frame.numbers[:-1, place])
    held = made["pull"].at(session().held(values), "power")
    assert held == frame.numbers[-1, column_names().index("power")]


def test_pairs_of_gears_are_those_of_the_drive_both_ways_round() -> None:
    knob = session().knob(PAIR)
    names = [option.name for option in knob.options]
    assert names == ["33/40 teeth", "36/37 teeth", "37/36 teeth", "40/33 teeth"]
    assert knob.value == "40/33 teeth", "the full level's"
    for name, level in (("33/40 teeth", "tame"), ("37/36 teeth", "middle")):
        pair, fitted = (session().frame(values) for values in ({PAIR: name}, {"level": level}))
        np.testing.assert_array_equal(pair.numbers, fitted.numbers)
    with pytest.raises(InputError, match="must be one of 40/33 teeth"):
        session().frame({PAIR: "41/33 teeth"})
    free = Session(scenario.typed().with_drive_ratio(1.1))
    assert free.knob(PAIR).value == "", "it stands on none"


def test_without_cams_knock_is_not_known_and_says_why() -> None:
    said, knocks = session().knock({"level": "tame"})
    assert said.startswith("Knock is not known: volumetric efficiency is typed")
    assert not knocks
    told = schema(session(), knock=True)["knock"]
    assert told == {"known": False, "made": {}, "unknown": said}


def test_knock_is_told_of_every_setting_with_its_speed() -> None:
    known = with_cams()
    said, knocks = known.knock({"level": "full"})
    pull = known.built({"level": "full"}).pull(known.speeds)
    assert said.startswith(pull.knock.verdict)
    assert f"At {known.held({}):,.0f} rpm: est. " in said
    assert knocks == bool(pull.knock.knocks.any())
    said, knocks = known.knock({"level": "full", "fuel.name": "gasoline_regular"})
    assert knocks
    assert "knock by the estimate" in said


def test_a_lobe_keeps_its_ramps_where_its_duration_is_turned() -> None:
    path = "engine.camshaft.intake"
    built = with_cams().built({f"{path}.duration": "205 deg"})
    assert built.text(f"{path}.seat_duration") == "251 deg"  # 205 + 276 - 230
    own = with_cams().built({f"{path}.duration": "230 deg"})
    assert own.breathes_by_cycles
    np.testing.assert_allclose(
        own.pull([5000])["power"], with_cams().build.without_surface().pull([5000])["power"]
    )


def test_code_begins_with_the_file_where_nothing_else_was_changed() -> None:
    lines = with_cams().code({"fuel.lambda": 0.9})
    file = f"airchain.load({scenario.quick().as_posix()!r})"
    assert lines.startswith(f"import airchain\nturned = airchain.chain.one_for_all({file})")
    assert ".without_surface()" in lines
    assert ".with_surface()" in with_cams().code({})


def test_code_names_the_build_only_where_no_file_tells_it() -> None:
    day = scenario.typed().replace({"ambient.temperature": "50 degF", "report": None})
    lines = Session(day.level("tame")).code({})
    assert '"ambient.temperature": "50 degF"' in lines.replace("'", '"')
    made: dict[str, airchain.Build] = {}
    exec(lines, made)  # type: ignore[arg-type]
    assert made["turned"] == day.level("tame")
    lines = Session(day.changed(Weather(pressure=90e3))).code({})
    assert lines.startswith("import airchain\n# build: ")
    assert "turned = build" in lines


def test_numbers_set_alone_answer_as_what_is_typed() -> None:
    plain = session().build.chain
    for knob in session().knobs.values():
        if not knob.kind or knob.path in (SPEED, "ambient.altitude", "ambient.altimeter"):
            continue
        value = 0.5 * (knob.first + knob.last)
        frame = session().frame({knob.path: knob.typed(value)})
        ((place, factor),) = knob.sets.items()
        station, _, field = list(indices())[place].partition(".")
        part = getattr(plain, station).replace(**{field: value * factor})
        moved = plain.replace(**{station: part})
        columns = _core.solve(moved, {"engine_speed": session().speeds * np.pi / 30.0})
        power = frame.numbers[:-1, column_names().index("power")]
        np.testing.assert_allclose(columns["power"], power, rtol=1e-9)


def test_a_level_sets_the_numbers_by_which_it_differs() -> None:
    for option in session().knob("level").options:
        if option.name:
            numbers = packed(session().build.chain)
            for place, value in option.numbers.items():
                numbers[place] = value
            there = packed(session().build.level(option.name).chain)
            np.testing.assert_array_equal(numbers, there)


def test_cams_are_answered_by_cycles() -> None:
    frame = with_cams().frame({"engine.camshaft.intake.duration": "240 deg"})
    assert frame.by_cycles
    assert not with_cams().reference.by_cycles
    assert frame.ports is not None
    trace = (
        with_cams()
        .built({"engine.camshaft.intake.duration": "240 deg"})
        .cycle_at(with_cams().held({}))
    )
    at_valve = np.interp(frame.ports[0], trace.degrees, trace["intake_pressure"])
    np.testing.assert_allclose(frame.ports[1], at_valve)
    assert session().reference.ports is None
    power = column_names().index("power")
    assert not np.allclose(frame.numbers[:, power], with_cams().reference.numbers[:, power])


REFUSED: list[tuple[dict[str, str | float], str]] = [
    ({"cooler.coolant_temperature": "900 degF"}, "must be between"),
    ({"cooler.coolant_temperature": 95.0}, "cooler.coolant_temperature"),
    ({RATIO: 30.0}, "drive_ratio"),
    ({SPEED: "fast"}, "engine speed"),
    ({"level": "taem"}, 'did you mean "tame"'),
    ({"cooler.colant": 1.0}, "be one of"),
]


@pytest.mark.parametrize(("values", "words"), REFUSED)
def test_refused_values_say_so_and_keep_nothing(values: dict[str, str | float], words: str) -> None:
    told = session().asked(values)
    assert isinstance(told, str)
    assert words in told
    if SPEED not in values:
        with pytest.raises(InputError):
            session().keep(values)


def test_keeps_settings_beside_each_other() -> None:
    one = Session(scenario.typed())
    assert one.keep({"level": "tame"}) == 0
    assert one.keep({RATIO: 1.1}) == 1
    assert one.kept == [{"level": "tame"}, {RATIO: 1.1}]


def test_an_engine_without_compressor_has_no_drive() -> None:
    build = scenario.typed().naturally_aspirated()
    known = Session(build).knobs
    assert "level" not in known
    assert RATIO not in known
    assert np.isfinite(Session(build).reference.numbers[:, column_names().index("power")]).all()


def test_frames_tell_their_verdict() -> None:
    assert session().reference.verdict.startswith("All 24 points solved")
