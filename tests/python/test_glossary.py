"""One word a quantity: every column has an entry, and every table and picture uses its word."""

import ast
import re
from functools import cache
from pathlib import Path

import pytest

import airchain
import blown_cam_engine as blown
import scenario
from airchain import _core
from airchain.cylinder import _columns as cycle_columns
from airchain.measured.quantities import QUANTITIES
from airchain.shown.columns import columns, heading, kind_of
from airchain.shown.glossary import entry, glossary, word
from airchain.shown.glossary_entries import CYCLE_ENTRIES, ENTRIES
from airchain.shown.tables import Shown
from airchain.track import track_runs
from airchain.units.tables import SI_KINDS
from glossary_words import quantities, strange_words


def test_every_column_has_an_entry_of_the_cores_unit() -> None:
    for name, unit, _ in [*_core.columns(), *_core.timed_columns()]:
        row = entry(name)
        assert row is not None, name
        assert row.unit == ("" if unit == "1" else unit), name
    for name, unit, _ in _core.cycle_columns():
        row = entry(name, of_a_cycle=True)
        assert row is not None, name
        assert row.unit == ("" if unit == "1" else unit), name
    for name, column in cycle_columns.columns().items():
        row = entry(name, of_a_cycle=True)
        assert row is not None, name
        assert row.kind == column.kind, name


def test_every_entry_is_a_column_or_a_limit() -> None:
    supply = {name for name, *_ in _core.supply_columns()}
    known = {*columns(), *cycle_columns.columns(), *QUANTITIES, *supply}
    known |= {"road_speed", "wheel_torque"}  # of a run
    assert {row.name for row in glossary()} - known == {
        "plenum_temperature",
        "worst_cycle_peak_pressure",
    } - known
    assert {row.name for row in CYCLE_ENTRIES} <= set(cycle_columns.columns())


def test_measured_quantities_are_said_in_the_same_words() -> None:
    for name, row in QUANTITIES.items():
        known = glossary()[row.words]
        assert known.kind == row.kind, name
        assert "measured pull" in known.tables, name


def test_no_word_stands_for_two_quantities() -> None:
    words = [row.word for row in ENTRIES]
    assert len(words) == len(set(words))
    for row in CYCLE_ENTRIES:
        if row.word in words:  # one quantity that a pull and a cycle name differently
            other = next(e for e in ENTRIES if e.word == row.word)
            assert (row.meaning, row.kind) == (other.meaning, other.kind)


def test_every_entry_says_what_a_reader_needs() -> None:
    for row in glossary():
        assert row.meaning[0].isupper(), row.name
        assert row.meaning.endswith("."), row.name
        if row.kind in ("pressure", "barometer"):
            assert "absolute" in row.basis, row.name
        if row.kind == "pressure_difference":
            assert row.basis, row.name
        if row.word.endswith("peak pressure") and row.kind == "pressure":
            assert row.cycle in ("mean cycle", "worst cycle")
            assert row.word.startswith(row.cycle.replace(" ", "-"))
        if row.kind == "temperature" and "pull" in row.tables and row.name != "coolant_temperature":
            assert row.basis, row.name
            assert row.fuel, row.name


def test_kinds_of_fields_that_are_no_columns_follow_from_their_unit() -> None:
    assert kind_of("opens_at", "Pa") == "pressure_difference"
    assert kind_of("boost", "Pa") == "pressure_difference"
    assert kind_of("boost", "K") == SI_KINDS["K"]
    assert kind_of("fuel_flow", "kg/s") == "fuel_flow"
    assert heading("inner_radius") == "inner radius"


@cache
def told() -> dict[str, Shown]:
    """What is shown as tables, one of each kind that is quickly made."""
    steps = scenario.steps()
    pull = steps["full"].pull
    cams = blown.built()
    return {
        "pull": pull,
        "ladder": steps,
        "stations": pull.stations(7000),
        "timed": scenario.iced().timed_pull([3000, 5000, 7000], rpm_per_second=500),
        "drive": scenario.full().drive_loads(7000),
        "weather": airchain.weather_bands(scenario.steps().build, steps=steps),
        "cycles": cams.pull([5000, 7000]).cycles(),
        "cycle": cams.cycle_at(7000.0),
        "track": track_runs(scenario.typed(), distance="100 m"),
    }


@pytest.mark.parametrize("name", [
    "pull", "ladder", "stations", "timed", "drive", "weather", "cycles", "cycle", "track",
])  # fmt: skip
def test_headings_are_words_of_the_glossary(name: str) -> None:
    shown = told()[name]
    assert strange_words(shown) == []
    assert quantities(shown) or name == "drive"


def test_a_plenum_is_no_manifold_and_its_temperature_is_before_port_fuel() -> None:
    assert word("plenum_pressure") == "plenum pressure"
    pull = scenario.full().pull([7000])
    # The demo's fuel joins the air at the port: the thermometer in the plenum reads it without.
    assert pull["plenum_temperature"][0] > pull["charge_temperature"][0] + 5.0
    plenum, charge = glossary()["plenum temperature"], glossary()["charge temperature"]
    assert (plenum.fuel, charge.fuel) == ("before port fuel", "after fuel")


def test_text_html_and_search() -> None:
    told = glossary().about("peak pressure")
    assert {row.name for row in told} == {
        "peak_pressure", "worst_cycle_peak_pressure", "peak_angle",
    }  # fmt: skip
    assert "mean-cycle peak pressure [psia], column peak_pressure" in told.text()
    assert "[kPa]" in told.text("si")
    assert "<td" in told._repr_html_()
    assert len(told) == 3
    assert max(len(line) for line in glossary().tables_text().splitlines()) <= 80


def test_names_the_bad_input() -> None:
    with pytest.raises(airchain.InputError, match=r'name = "bost"; must be .*; did you mean "boos'):
        glossary()["bost"]
    with pytest.raises(airchain.InputError, match='word = "zzz"; must be in the glossary'):
        glossary().about("zzz")


#: What other trades and loggers call a quantity; our own texts use the glossary's word instead.
SYNONYMS = re.compile(
    r"manifold (pressure|temperature)|boost pressure|intake (air )?temperature|charge.air temp"
    r"|airflow|horsepower|blower speed|impeller speed|engine rpm|fuel rate|intercooler",
    re.IGNORECASE,
)
PACKAGE = Path(airchain.__file__).parent
#: The log reader knows what others write.
READER = PACKAGE / "measured" / "log"


def test_no_text_of_the_package_says_it_in_another_word() -> None:
    strange = []
    for file in sorted(PACKAGE.rglob("*.py")):
        if file.is_relative_to(READER):
            continue
        for node in ast.walk(ast.parse(file.read_text())):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                strange += [(file.name, m.group()) for m in SYNONYMS.finditer(node.value)]
    assert strange == [("plausibility.py", "horsepower")]  # where metric horsepower is meant
