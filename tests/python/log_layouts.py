"""Logs in other layouts, words and units than those before; see `log_generator`."""

import numpy as np

from log_generator import (
    BARO,
    EGT,
    FUEL,
    FULL,
    IAT,
    INHG,
    LAMBDA,
    LBFT,
    MAP,
    OBSERVED,
    PS,
    PSI,
    ROWS,
    RPM,
    SPEED,
    TIME,
    TORQUE,
    Case,
    Column,
    case,
    fahrenheit,
    put,
    text,
)
from log_generator import POWER as KW

_BARO = f"Barometer {BARO} kPa\n"
#: Rows without load before and behind the sweep: idle, and a coast with the throttle shut.
_IDLE, _COAST = 30, 40


def driven(column: str, values: np.ndarray, idle: float, coast: float, places: int = 1) -> Column:
    """A channel of a recording that holds idle, the pull and a run down."""
    before, behind = np.full(_IDLE, idle), np.full(_COAST, coast)
    return Column(column, np.concatenate([before, values, behind]), places)


def recorded(*columns: Column, above: str = "") -> str:
    """A recording without torque, as an engine's own computer logs it."""
    speed = np.concatenate(
        [
            np.full(_IDLE, 1100.0),
            RPM,
            np.linspace(7100.0, 2000.0, _COAST),
        ]
    )
    time = np.arange(speed.size) * 0.1
    every = (Column("Time (s)", time), Column("RPM", speed, 0), *columns)
    return text(every, above=above)


def _all() -> list[Case]:
    """All cases."""
    return [*_headings(), *_units(), *_bases(), *_weather(), *_footings(), *_troubles(), *_others()]


def _headings() -> list[Case]:
    """Headings in other languages, glued, dotted and abbreviated."""
    rows = {
        "snake case": ("time_s", "eng_speed_rpm", "trq_obs_nm", "map_abs_kpa", "charge_temp_c"),
        "camel case": ("timeS", "engineSpeedRpm", "observedTorqueNm", "mapAbsKpa", "chargeTempC"),
        "dotted": (
            "Log.Time[s]",
            "Ecu.Engine.Speed[rpm]",
            "Cell.ObservedTorque[Nm]",
            "Ecu.Inlet.ManifoldPressureAbs[kPa]",
            "Ecu.ChargeTemp[degC]",
        ),
        "formula letters": ("t[s]", "n[/min]", "M_unkorr[Nm]", "p_saug_abs[kPa]", "T_LL[°C]"),
        "basis behind the unit": (
            "Time s",
            "Speed min-1",
            "Torque(Nm)-observed",
            "MAPabs kPa",
            "Charge temp degC",
        ),
        "Swedish": (
            "Tid [s]",
            "Varvtal [varv/min]",
            "Vridmoment okorrigerat [Nm]",
            "Insugstryck absolut [kPa]",
            "Laddlufttemperatur [°C]",
        ),
        "Russian": (
            "Время, с",
            "Обороты, об/мин",
            "Крутящий момент без коррекции, Н·м",
            "Давление наддува абс. (кПа)",
            "T_LL [°С]",
        ),
    }
    cases = []
    for name, heads in rows.items():
        columns = [Column(h, c.values, c.places) for h, c in zip(heads, FULL, strict=True)]
        hold = ("time", "torque", "plenum_pressure", "plenum_temperature")
        cases.append(case(f"headings: {name}", text(columns, ";"), hold=hold))
    units = tuple(
        Column(h, c.values, c.places, u)
        for h, c, u in zip(
            ("t", "n", "M", "p_saug", "T_LL"), FULL, ("s", "1/min", "Nm", "kPa abs", "°C"),
            strict=True,
        )
    )  # fmt: skip
    body = text(units, above="unkorrigierte Messwerte\n", units=True)
    cases.append(case("letters over a row of units", body, hold=("torque", "plenum_pressure")))
    nobody = (
        Column("ბრუნვა [rpm]", RPM, 1),
        Column("ძალა [Nm]", TORQUE),
        Column("სიმძლავრე [kW]", KW),
    )
    cases.append(
        case(
            "words nobody knows",
            text(nobody, above="uncorrected\n"),
            "flag",
            "in a unit of rotation",
        )
    )
    return cases


def _units() -> list[Case]:
    """Units in odd spellings, and such that only look like one that is known."""
    daylong = Column("Observed torque (daNm)", TORQUE / 10.0, 3)
    times_ten = Column("Observed torque Nm x10", TORQUE * 10.0, 1)
    banks = (Column("Lambda B1", LAMBDA - 0.002, 4), Column("Lambda B2", LAMBDA + 0.002, 4))
    fuel = Column("Fuel(lb/hr)", FUEL / 0.45359237, 3)
    stoich = Column("Air-fuel ratio (gasoline stoichiometric 14.7)", LAMBDA * 14.7, 3)
    alcohol = Column("AFR (stoich 6.45)", LAMBDA * 6.45, 3)
    exhaust = [Column(f"Exh. temp cyl {i} (°C)", EGT + i - 2.5, 1) for i in (1, 2, 3, 4)]
    return [
        case("decanewton metres in brackets", text((SPEED, daylong))),
        case("torque times ten", text((SPEED, times_ten)), "ask", "columns.torque"),
        case("two banks", text((*FULL, *banks)), hold=("lambda",)),
        case("fuel alone is its flow", text((*FULL, fuel)), hold=("fuel_flow",)),
        case("a ratio that its heading explains", text((*FULL, stoich)), hold=("lambda",)),
        case("the ratio of an alcohol", text((*FULL, alcohol)), hold=("lambda",)),
        case("short words of cylinders", text((*FULL, *exhaust)), hold=("exhaust_temperature",)),
        case(
            "fuel alone by volume",
            text((*FULL, Column("Fuel (l/h)", FUEL / 0.74))),
            "ask",
            "density",
        ),
        case(
            "wheel power without a space",
            text((SPEED, Column("RWHP", KW / PS * 900.0), Column("RWTQ", TORQUE / LBFT))),
            "flag",
            "RWTQ",
        ),
    ]


def _bases() -> list[Case]:
    """Words on correction in other languages and places, and of other things."""
    plain = Column("Torque [Nm]", TORQUE)
    observed = (
        "Korrektur: keine", "Mesure au banc - valeurs brutes, sans correction",
        "Ensaio 7 - sem correção", "okorrigerade värden", "Wartości bez korekcji", "補正なし",
        "без коррекции", "correction factor not applied", "Correction factor: 1.000",
        "SAE correction: off", "valori osservati, senza correzione",
    )  # fmt: skip
    other = (
        "Barometer 98.0 kPa (uncorrected)", "Fuel temperature correction: off",
        "Correction factor: 1.031", "Observed weather: dry",
    )  # fmt: skip
    cases = [case(f"observed: {w}", text((SPEED, plain), above=w + "\n")) for w in observed]
    for words in other:
        body = text((SPEED, plain), above=words + "\n")
        cases.append(case(f"no basis of: {words}", body, "ask", "power_basis"))
    return cases


def _weather() -> list[Case]:
    """A gauge needs the barometer, so that a log is read only where the text tells it."""
    gauge = (*FULL[:3], Column("Boost [kPa gauge]", MAP - BARO, 2))
    told = (
        "Baro (absolute, station): 98.0 kPa   Air temp: 75 F   Humidity: 45 %",
        "Luftdruck;980,0;mbar\nLufttemperatur;18,0;°C", "Barometer [kPa],98.0",
        "Barometric pressure / mbar;980", "Weather: 24 °C, 45 % RH, 980 mbar",
        "Барометр 735 мм рт. ст.", "Station pressure 28.94 inHg, dry bulb 75 F",
    )  # fmt: skip
    cases = [case(f"told: {w}", text(gauge, above=w + "\n")) for w in told]
    two = text(gauge, above=_BARO, below="Barometer (office): 95.0 kPa\n")
    high = text(gauge, above="Barometer 98.0 kPa, elevation 1,650 m\n")
    column = Column("Baro [kPa]", np.full(ROWS, BARO))
    beside = text((*gauge, column), above="Barometer 95.0 kPa\n")
    return [
        *cases,
        case("a barometer above and another below", two, "flag", "two values of barometer"),
        case("a barometer that no hill has", high, "flag", "reduced to sea level"),
        case("a column and a text of the barometer", beside, "flag", "the text tells"),
        case("QNH is none", text(gauge, above="QNH 1014 hPa\n"), "ask", "ambient.barometer"),
    ]


def _footings() -> list[Case]:
    """Gauge or absolute, told by idle and load together, or by another pressure."""
    shut = recorded(driven("MAP (kPa)", MAP, 36.0, 24.0))
    psi = recorded(driven("MAP (psi)", MAP / PSI, 5.2, 3.5, 2))
    gauge = driven("Boost (kPa)", MAP - BARO, -62.0, -74.0)
    held = recorded(driven("Manifold (kPa)", MAP, 104.0, 110.0))
    pair = (*FULL[:3], Column("MAP kPa", MAP), Column("Boost psi", (MAP - BARO) / PSI, 3))
    wrong = driven("Boost (kPa)", (MAP - BARO) / INHG, -18.3, -21.9, 2)
    hold = ("plenum_pressure",)
    return [
        case("MAP that idles far below the room", shut, hold=hold),
        case("the same in psi", psi, hold=hold),
        case("boost with a vacuum at idle", recorded(gauge, above=_BARO), hold=hold),
        case("held at load before the sweep", held, "ask", "plenum_pressure.reference"),
        case("two pressures a barometer apart", text(pair), hold=hold),
        case("a vacuum of inHg headed kPa", recorded(wrong, above=_BARO), "flag", "without load"),
        case(
            "a boost of psi headed kPa beside a shut throttle",
            recorded(driven("Boost (kPa)", (MAP - BARO) / PSI, -9.0, -10.7, 2), above=_BARO),
            "ask",
            "plenum_pressure.unit",
        ),
    ]


def _troubles() -> list[Case]:
    """Channels that are wrong without any number being impossible."""
    burst = put(2, range(50, 54), "2100.00")
    leap = np.where(np.arange(ROWS) > 70, TORQUE / LBFT, TORQUE)
    hose = BARO + 0.05 * np.sin(np.arange(ROWS) * 2.3)
    hot = Column("Charge temp [degC]", fahrenheit(IAT) + 20.0, 1)
    noisy = np.where(np.arange(ROWS) % 13 == 4, 2.0 * RPM, RPM)
    rest = np.full(20, 30.0)
    zero = Column("Observed torque [Nm]", np.concatenate([rest, TORQUE + 30.0]))
    start = Column("Engine speed [rpm]", np.concatenate([rest * 0.0, RPM]), 1)
    weather = "Barometer 98.0 kPa, air 20 C\n"
    return [
        case("a burst of rows", text(FULL[:3], change=burst), "flag", "jump away"),
        case(
            "a unit that changes midway",
            text((*FULL[:2], Column("Observed torque [Nm]", leap))),
            "flag",
            "did its unit or range change?",
        ),
        case(
            "a hose that is off",
            text((*FULL[:3], Column("MAP [kPa abs]", hose)), above=_BARO),
            "flag",
            "is its hose off?",
        ),
        case("charge in degF headed degC", text((*FULL[:3], hot), above=weather), "flag", "degF?"),
        case("lambda that never moves", text((*FULL, Column("Lambda", LAMBDA * 0.0 + 1.0))),
             "flag", "never moves"),
        case(
            "ignition noise on the speed",
            text((TIME, Column("Engine speed [rpm]", noisy, 1), OBSERVED)),
            "flag",
            "come straight back",
        ),
        case("torque at rest", text((start, zero)), "flag", "set to zero?"),
        case(
            "fuel in lb/h headed kg/h",
            text((*FULL, Column("Fuel [kg/h]", FUEL / 0.45359237))),
            "flag",
            "as engines on alcohol do",
        ),
    ]  # fmt: skip


def _others() -> list[Case]:
    """Rows, pages and shafts."""
    lines = text(FULL).splitlines(True)
    twice = "".join([*lines[:70], *lines[40:70], *lines[70:]])
    pages = "".join(
        f"Page {i // 30 + 1}   TEST 88\n{lines[0]}" + "".join(lines[1 + i : 31 + i])
        for i in range(0, ROWS, 30)
    )
    geared = text(
        (Column("Dyno RPM", RPM / 2.1, 1), Column("Observed torque (Nm)", TORQUE * 2.1)),
        above="Gearbox engaged, total ratio 2.10 engine to dyno\n",
    )
    brackets = text(FULL).replace("MAP [kPa abs]", "MAP [kPa, abs]")
    return [
        case("rows written twice", twice, "flag", "a second time"),
        case("pages of one test", pages),
        case("a dyno behind a gearbox", geared, "ask", "speed of the crank"),
        case("a dyno's own speed", text((Column("Dyno RPM", RPM, 1), OBSERVED)), "flag", "geared"),
        case("a comma within brackets", brackets, hold=("plenum_pressure",)),
        case(
            "an unknown column is named",
            text((*FULL, Column("Kanal 7", IAT))),
            "flag",
            "Kanal 7",
        ),
    ]


LAYOUTS = _all()
