"""Units: published factors, the traps of trade spellings, round trips, and refusals."""

from __future__ import annotations

import csv
import math
import subprocess
import sys
from pathlib import Path

import numpy as np
import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import constants

from airchain import InputError
from airchain.units import convert as units
from airchain.units.convert import KINDS, display, formatted, from_si, to_si
from airchain.units.tables import FACTORS, SPELLINGS, SPELLINGS_BY_DIMENSION
from airchain.units.text import factor_of

PUBLISHED = Path(__file__).parents[1] / "published" / "nist_sp811.csv"

# Row of the published factors: text typed, kind.
TYPED = {
    "unit_psi_Pa": ("1 psi", "pressure_difference"),
    "unit_inHg_0C_Pa": ("1 inHg", "pressure"),
    "unit_inHg_60F_Pa": ("1 inHg_60F", "pressure"),
    "unit_inH2O_60F_Pa": ("1 inH2O_60F", "pressure_difference"),
    "unit_hp_mech_W": ("1 hp", "power"),
    "unit_ft3_m3": ("1 ft^3", "volume"),
    "unit_BTU_IT_J": ("1 BTU", "energy"),
    "unit_lbft_Nm": ("1 lb ft", "torque"),
    "unit_R_K": ("1 degR", "temperature"),
}


def published() -> list[dict[str, str]]:
    with PUBLISHED.open(newline="") as stream:
        return list(csv.DictReader(stream))


@pytest.mark.parametrize("row", published(), ids=lambda row: row["id"])
def test_factor_agrees_with_nist_sp811(row: dict[str, str]) -> None:
    # NIST SP 811 (2008) App. B, from memory. Tolerance: half a unit of the last figure given, and
    # no tighter than double arithmetic for the exact ones.
    text, kind = TYPED[row["id"]]
    decimals = len(row["output"].partition(".")[2])
    tolerance = max(0.5 * 10.0**-decimals, 1e-12 * float(row["output"]))
    assert to_si(text, kind, field="factor") == pytest.approx(float(row["output"]), abs=tolerance)


def test_every_published_factor_is_tested() -> None:
    assert {row["id"] for row in published()} == set(TYPED)


@pytest.mark.parametrize(
    ("text", "kind", "name"),
    [
        ("1 psi", "stress", "psi"),
        ("1 atm", "pressure", "atm"),
        ("1 bar", "pressure", "bar"),
        ("1 torr", "pressure", "torr"),
        ("1 hp", "power", "hp"),
        ("1 lbf", "force", "lbf"),
        ("1 lb", "mass", "lb"),
        ("1 slug", "mass", "slug"),
        ("1 in", "length", "inch"),
        ("1 ft", "length", "foot"),
        ("1 gal", "volume", "gallon"),
        ("1 L", "volume", "liter"),
        ("1 mph", "velocity", "mph"),
        ("1 km/h", "velocity", "kmh"),
        ("1 knot", "velocity", "knot"),
        ("1 deg", "angle", "degree"),
        ("1 grain", "mass", "grain"),
        ("1 BTU", "energy", "Btu_IT"),
        ("1 degF", "temperature_difference", "degree_Fahrenheit"),
        ("1 h", "time", "hour"),
    ],
)
def test_factor_agrees_with_scipy_constants(text: str, kind: str, name: str) -> None:
    # scipy.constants defines these on its own, from the same exact definitions. Its mmHg is left
    # out: that is the torr, 1.4e-7 below the conventional millimetre of mercury.
    assert to_si(text, kind, field="x") == pytest.approx(getattr(constants, name), rel=1e-12)


def test_temperatures_agree_with_scipy_constants() -> None:
    for unit, scale in (("degF", "Fahrenheit"), ("degC", "Celsius"), ("degR", "Rankine")):
        for number in (-40.0, 32.0, 95.0, 600.0):
            expected = float(constants.convert_temperature(number, scale, "Kelvin"))
            assert to_si(f"{number} {unit}", "temperature", field="t") == pytest.approx(
                expected, abs=1e-11
            )


@pytest.mark.parametrize("unit", [unit for unit in FACTORS if unit])
def test_common_unit_agrees_with_pint(unit: str) -> None:
    # The table lets common units do without pint; pint must read each of them alike.
    ureg = units.registry()
    kind = next(kind for kind, row in KINDS.items() if row.dimension == FACTORS[unit].dimension)
    other = {
        "lb ft": (1.0, "lbf ft"),  # pint's lb is a mass only
        "lb in": (1.0, "lbf in"),
        "inH2O": (2.54, "centimeter_H2O"),  # not in every pint under our name
        "inH2O_60F": (1.0, "inch_H2O_60F"),
        "inHg_60F": (1.0, "inch_Hg_60F"),
    }
    multiple, name = other.get(unit, (1.0, unit))
    for number in (1.0, 250.0):
        mine = (number + FACTORS[unit].offset) * FACTORS[unit].scale
        theirs = ureg.Quantity(number * multiple, name).to(KINDS[kind].si_unit).magnitude
        assert mine == pytest.approx(theirs, rel=1e-12)


def test_definitions_file_is_what_pint_alone_gets_wrong() -> None:
    bare, ours = pint.UnitRegistry(), units.registry()
    for name in ("Nm", "PS", "cfm", "psia", "cid", "btu", "gpm", "gph", "pph", "lbft"):
        meant = ours.Quantity(1.0, name).to_base_units()
        try:
            read = bare.Quantity(1.0, name).to_base_units()
        except pint.UndefinedUnitError:
            continue
        assert str(read.units) != str(meant.units), name


@pytest.mark.parametrize(
    ("texts", "kind", "si", "tolerance"),
    [
        # 427 in^3 is the 7.0 litre class; 16.387064 cm^3 a cubic inch exactly.
        (["427 in^3", "427 cid", "427 cu. in.", "427in3", "427 CID"], "volume", 6.997276e-3, 5e-10),
        (["95 degF", "95 °F", "95 F", "95 deg F", "95degF"], "temperature", 308.15, 1e-12),
        (["35 degC", "35 °C", "35 C", "308.15 K"], "temperature", 308.15, 1e-12),
        (
            ["20 degF", "20 delta_degF", "20 Δ°F", "20 delta degF", "20 degR"],
            "temperature_difference",
            100 / 9,
            1e-12,
        ),
        (["20 degC", "20 K", "20 delta_degC"], "temperature_difference", 20.0, 1e-12),
        (
            ["400 lb ft", "400 lb-ft", "400 ft-lb", "400 ft·lb", "400 lbft", "400 lbf*ft"],
            "torque",
            542.3272,
            5e-5,
        ),
        (["500 Nm", "500 N m", "500 N-m", "500 N·m", "500 N*m"], "torque", 500.0, 0.0),
        (["600 hp", "600 HP", "600 Hp"], "power", 447419.9, 0.05),
        (["600 PS"], "power", 441299.25, 1e-9),
        (["1000 cfm", "1000 CFM", "1000 ft^3/min"], "volume_flow", 0.4719474432, 1e-15),
        (["29.92 inHg", "29.92 in Hg", "29.92 inhg"], "barometer", 101320.7, 0.06),
        (["14.7 psia", "14.7 psi abs", "14.7 PSIA", "14.7 psi(a)"], "pressure", 101352.9, 0.05),
        (["12 psi", "12 psig", "12 lb/in^2", "12 psi boost"], "pressure_difference", 82737.1, 0.05),
        (
            ["6500 rpm", "6500 RPM", "6500 1/min", "6500 rev/min"],
            "speed",
            6500 * math.pi / 30,
            1e-9,
        ),
        (["55 lb/min", "55 lbs/min", "55 LB/MIN", "55 lb per min"], "mass_flow", 0.415793, 5e-7),
        (["440 cc/min", "440 cm^3/min", "0.44 L/min"], "liquid_flow", 440e-6 / 60, 1e-18),
        (["0.5 lb/hp-hr", "0.5 lb/(hp h)", "0.5 lb/hp/h"], "fuel_consumption", 8.4483e-8, 5e-13),
        (["304.1387 g/kWh", "304.1387 g/(kW h)"], "fuel_consumption", 8.4483e-8, 5e-13),
        (["180 g/(PS h)", "180 g/PS/h"], "fuel_consumption", 0.18 / 3600 / 735.49875, 1e-18),
        (["72 %", "72 percent", "0.72"], "dimensionless", 0.72, 1e-15),
        (["300 ft lb", "300 ft-lbf"], "energy", 406.7454, 5e-5),
        (["120 lbf", "120 lb", "120 lbs"], "force", 533.7866, 5e-5),
        (["0.24 BTU/lb/degF", "0.24 BTU/(lb degF)"], "specific_heat", 1004.832, 1e-9),
        (["-5 degC", "\N{MINUS SIGN}5 degC"], "temperature", 268.15, 1e-12),
    ],
)
def test_trade_spellings_mean_one_thing(
    texts: list[str], kind: str, si: float, tolerance: float
) -> None:
    for text in texts:
        assert to_si(text, kind, field="x") == pytest.approx(si, abs=tolerance), text


@pytest.mark.parametrize(
    ("value", "kind", "message"),
    [
        ("12 psig", "pressure", "must be an absolute pressure; this is a gauge reading"),
        ("0.8 bar g", "pressure", "must be an absolute pressure; this is a gauge reading"),
        ("0.8 barg", "barometer", "must be an absolute pressure; this is a gauge reading"),
        ("12 psi boost", "pressure", "must be an absolute pressure; this is a gauge reading"),
        ("5 inHg vac", "pressure", "must be an absolute pressure; this is a gauge reading"),
        ("12 psi", "pressure", "must say that it is absolute; write psia"),
        ("12 PSI", "pressure", "must say that it is absolute; write psia"),
        ("12 psia", "pressure_difference", "psia, bara and the like are absolute"),
        ("20 delta_degF", "temperature", "must be a temperature, such as"),
        ("100 Hz", "speed", "write rpm; 1 Hz would be 60 rpm"),
        ("72 deg", "dimensionless", 'must be a plain number, such as "72"'),
        ("400 rad/s", "volume_flow", "must be a volume flow"),
        ("3 nm", "torque", "must be a torque"),
        ("20 kg", "force", "must be a force"),
        ("427 in", "volume", 'must be a volume, such as "427 in^3"'),
        ("427", "volume", 'must have a unit, such as "427 in^3"'),
        (427, "volume", 'must have a unit, such as "427 in^3"'),
        ("12 pssi", "pressure_difference", 'unknown unit "pssi", did you mean "psi"?'),
        ("427 cuin", "volume", 'unknown unit "cuin", did you mean "cu in"?'),
        ("5 zork/min", "mass_flow", 'unknown unit "zork"'),
        ("4,125 in", "length", "a decimal with a point"),
        ("4 1/8 in", "length", "a decimal with a point"),
        ("1/2 in", "length", "a decimal with a point"),
        ("1_000 m", "length", "a decimal with a point"),
        ("in", "length", 'a number and its unit, such as "1 in"'),
        ("", "length", "a number and its unit"),
        ("nan psi", "pressure_difference", "a number and its unit"),
        ("1e400 in", "length", "finite"),
        (float("nan"), "dimensionless", "finite"),
        (float("inf"), "dimensionless", "finite"),
        ("1e308 MPa", "pressure", "must be finite"),
        (True, "dimensionless", "must be a plain number"),
        (None, "volume", "must be a volume"),
        ([1.0], "volume", "must be a volume"),
        ("5 9**9**9 m", "length", "a decimal with a point"),
        ("5 m**9**9**9", "length", "unknown unit"),
        ("5 m*9**9**9", "length", "unknown unit"),
        ("5 " + "m " * 200, "length", "unknown unit"),
        ("5 dBm", "power", "must be a power"),
        ("5 ((((m", "length", "unknown unit"),
    ],
)
def test_to_si_names_the_bad_input(value: object, kind: str, message: str) -> None:
    with pytest.raises(InputError) as caught:
        to_si(value, kind, where="Engine", field="x")
    text = str(caught.value)
    assert text.startswith("Engine: x = ")
    assert "; must " in text
    assert message in text
    assert "\n" not in text


@pytest.mark.parametrize("digits", [400, 9999])
def test_to_si_names_whole_numbers_beyond_the_floats(digits: int) -> None:
    # 0x1000... is a whole number to TOML, whatever its length.
    with pytest.raises(InputError, match=r"Engine: x = .*; must be a length, and finite"):
        to_si(16**digits, "length", where="Engine", field="x")


def test_refusal_has_the_form_of_the_house() -> None:
    with pytest.raises(InputError) as caught:
        to_si("427 in", "volume", where="demo.toml:3: engine", field="displacement")
    expected = 'demo.toml:3: engine: displacement = "427 in"; must be a volume, such as "427 in^3"'
    assert str(caught.value) == expected


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: to_si(1.0, "presure", field="x"), 'did you mean "pressure"?'),
        (lambda: display(1.0, "power", "imperial"), 'must be "trade" or "si"'),
        (lambda: from_si(1.0, "psig"), "gauge"),
        (lambda: from_si(1.0, "zork"), 'unknown unit "zork"'),
        (lambda: from_si(1.0, "lb ft", "volume"), 'must be a unit of a volume, such as "in^3"'),
    ],
)
def test_output_names_the_bad_input(call, message: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(InputError, match="must") as caught:
        call()
    assert message in str(caught.value)


def test_bare_number_is_taken_where_the_field_names_the_unit() -> None:
    speed = to_si(6500, "speed", field="speed_rpm", unit="rpm")
    assert speed == pytest.approx(to_si("6500 rpm", "speed", field="speed"))
    assert to_si(np.float32(0.5), "dimensionless", field="x") == 0.5


def test_quantities_of_any_registry_are_taken() -> None:
    for ureg in (pint.UnitRegistry(), units.registry()):
        volume = to_si(ureg.Quantity(427, "in^3"), "volume", field="x")
        assert volume == pytest.approx(427 * 0.0254**3, rel=1e-12)
        assert to_si(ureg.Quantity(95, "degF"), "temperature", field="x") == pytest.approx(308.15)
        difference = to_si(ureg.Quantity(20, "delta_degF"), "temperature_difference", field="x")
        assert difference == pytest.approx(100 / 9)
        assert to_si(ureg.Quantity(0.7, ""), "dimensionless", field="x") == 0.7
        with pytest.raises(InputError, match="must be a torque"):
            to_si(ureg.Quantity(300, "ft lb"), "torque", field="x")  # pounds of mass there
    with pytest.raises(InputError, match="must be a torque"):
        to_si(pint.UnitRegistry().Quantity(300, "number_meter"), "torque", field="x")  # of yarn
    with pytest.raises(InputError, match="must be a length"):
        to_si(units.registry().Quantity([1.0, 2.0], "m"), "length", field="x")


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("system", ["trade", "si"])
def test_display_unit_comes_back_through_to_si(kind: str, system: str) -> None:
    number, label = display(1.25, kind, system)
    unit = label or None
    assert to_si(f"{number!r} {label}", kind, field="x", unit=unit) == pytest.approx(1.25, rel=1e-9)
    assert label in formatted(1.25, kind, system)


@given(
    unit=st.sampled_from(sorted(unit for unit in FACTORS if unit)),
    number=st.just(0.0) | st.floats(1e-9, 1e6) | st.floats(-1e6, -1e-9),
)
def test_unit_round_trip(unit: str, number: float) -> None:
    kind = next(
        kind
        for kind, row in KINDS.items()
        if row.dimension == FACTORS[unit].dimension and kind not in ("pressure", "barometer")
    )
    si = to_si(f"{number!r} {unit}", kind, field="x")
    # Temperatures lose the digits of their zero point.
    assert from_si(si, unit, kind) == pytest.approx(number, rel=1e-13, abs=1e-12 * (unit[0] == "d"))
    assert from_si(np.array([si, si]), unit, kind).shape == (2,)


def finite_or_refused(value: object, kind: str) -> bool:
    try:
        return math.isfinite(to_si(value, kind, where="W", field="f"))
    except InputError as error:
        return str(error).startswith("W: f = ")


@given(st.text(max_size=40), st.sampled_from(sorted(KINDS)))
def test_any_text_is_converted_or_refused(text: str, kind: str) -> None:
    assert finite_or_refused(text, kind)


@given(
    st.text(alphabet="mkgsinftlbhp/*^()-234 °·.%", min_size=1, max_size=30),
    st.sampled_from(sorted(KINDS)),
)
def test_any_unit_like_text_is_converted_or_refused(unit: str, kind: str) -> None:
    assert finite_or_refused(f"1 {unit}", kind)


def test_temperature_difference_has_no_zero_point() -> None:
    assert from_si(10.0, "degF", "temperature_difference") == pytest.approx(18.0)
    assert from_si(273.15, "degC") == pytest.approx(0.0, abs=1e-12)


def test_every_spelling_leads_to_a_known_unit() -> None:
    for spelling, unit in SPELLINGS.items():
        assert unit in FACTORS, spelling
    for dimension, spellings in SPELLINGS_BY_DIMENSION.items():
        kind = next(kind for kind, row in KINDS.items() if row.dimension == dimension)
        for spelling in spellings:
            assert factor_of(spelling, kind).dimension == dimension


def test_common_units_do_without_pint() -> None:
    code = (
        "import sys; from airchain.units import to_si, display\n"
        "to_si('427 cu in', 'volume', field='x'); display(3e5, 'pressure', 'si')\n"
        "sys.exit('pint' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
