"""Logs that leave something open, and sensors that fail; see `log_generator`."""

import numpy as np

from log_generator import (
    BARO,
    EGT,
    FUEL,
    FULL,
    HP,
    IAT,
    LAMBDA,
    LBFT,
    MAP,
    OBSERVED,
    OUT,
    OUT_T,
    POWER,
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

BAROMETER = "Barometer: 98.0 kPa\n"


def asked() -> list[Case]:
    """What the log does not tell, or tells against its readings: it must be asked."""
    three = FULL[:3]
    psi = Column("MAP [psi]", MAP / PSI)
    plain = Column("Torque [Nm]", TORQUE)
    rows = {
        "MAP in psi": ((*three, psi), "plenum_pressure.reference"),
        "MAP in kPa": ((*three, Column("MAP [kPa]", MAP)), "plenum_pressure.reference"),
        "boost that is absolute": (
            (*three, Column("Boost [kPa]", MAP)),
            "plenum_pressure.reference",
        ),
        "absolute by name, gauge by data": (
            (*three, Column("MAP [kPa abs]", MAP - BARO)),
            "plenum_pressure.reference",
        ),
        "torque unit": ((TIME, SPEED, Column("Observed torque", TORQUE)), "torque.unit"),
        "basis": ((TIME, SPEED, plain), "power_basis"),
        "corrected by what": ((TIME, SPEED, Column("Corr torque [Nm]", TORQUE)), "power_basis"),
        "hp that are PS": (
            (*three, Column("Observed power [hp]", POWER * 1000.0 / PS)),
            "power.unit",
        ),
        "Nm that are lb ft": (
            (
                TIME,
                SPEED,
                Column("Observed torque [Nm]", TORQUE / LBFT),
                Column("Observed power [kW]", POWER),
            ),
            "torque.unit",
        ),
        "hp or PS": ((*three, Column("Observed power", POWER * 1000.0 / HP)), "power.unit"),
        "bar that are kPa": ((*three, Column("MAP [bar abs]", MAP)), "plenum_pressure.unit"),
        "Fahrenheit called Celsius": (
            (*three, Column("Charge temp [degC]", fahrenheit(IAT) + 60)),
            "plenum_temperature.unit",
        ),
        "EGT in the wrong unit": (
            (*three, Column("EGT [degC]", fahrenheit(EGT))),
            "exhaust_temperature.unit",
        ),
        "coolant in the wrong unit": (
            (*three, Column("Coolant temp [degF]", 85 + 0 * IAT + IAT / 50)),
            "coolant_temperature.unit",
        ),
        "thousands of rpm": (
            (TIME, Column("Engine speed [rpm]", RPM / 1e3, 4), OBSERVED),
            "engine_speed.unit",
        ),
        "two charge temperatures": (
            (*FULL, Column("Charge temp [degC]", IAT + 6)),
            "plenum_temperature.column",
        ),
        "fuel by volume": ((*three, Column("Fuel flow [L/h]", FUEL / 0.74)), "fuel_flow.density"),
        "a strange ratio": ((*three, Column("AFR", LAMBDA * 6.47)), "lambda.scale"),
        "lambda called AFR": ((*three, Column("AFR", LAMBDA, 3)), "lambda.scale"),
        "boost without barometer": (
            (*three, Column("Boost [psi]", (MAP - BARO) / PSI)),
            "ambient.barometer",
        ),
        "torque and power swapped": (
            (
                TIME,
                SPEED,
                Column("Observed torque [Nm]", POWER),
                Column("Observed power [kW]", TORQUE),
            ),
            "torque.column",
        ),
    }
    cases = [case(n, text(columns), "ask", say) for n, (columns, say) in rows.items()]
    one_zero = text((*three, psi), change=put(3, [4], "0.00"))
    cases.append(case("one zero decides nothing", one_zero, "ask", "plenum_pressure.reference"))
    odd = text((*three, Column("MAP [psi]", MAP / PSI)), change=put(3, [7], "65535"))
    cases.append(case("one full scale decides nothing", odd, "ask", "plenum_pressure.reference"))
    word = text(change=put(2, [5], "abc"))
    cases.append(case("a word in a column", word, "ask", 'missing = ["abc"]'))
    for words in (
        "Oil: SAE 10W-40",
        "Gear: std 4th",
        "Date format ISO 8601",
        "Engine std bore",
        "Tested to DIN EN ISO 9001",
        "Raw data export",
    ):
        body = text((TIME, SPEED, plain), above=words + "\n")
        cases.append(case(f"no basis: {words}", body, "ask", "power_basis"))
    three_digits = (
        Column("Engine speed [rpm]", RPM / 1e3, 3),
        Column("Observed torque [Nm]", TORQUE, 3),
    )
    group = text(three_digits, ";", ",")
    cases.append(case("decimal mark not told", group, "ask", "decimal"))
    cases.append(
        case(
            "megabar",
            text((*three, Column("MAP [Mbar abs]", MAP * 10, 1))),
            "ask",
            "plenum_pressure.unit",
        )
    )
    return cases


def told_by_data() -> list[Case]:
    """What the readings tell although the headings do not."""
    three = FULL[:3]
    gauge = Column("Manifold pressure [psi]", (MAP - BARO) / PSI)
    outlet = Column("Compressor outlet pressure [kPa abs]", OUT)
    kw = Column("Observed power", POWER)
    return [
        case("gauge by its size", text((*three, gauge), above=BAROMETER)),
        case("absolute by its neighbour", text((*three, outlet, Column("MAP [kPa]", MAP)))),
        case("kW by the product", text((*three, kw))),
        case(
            "humidity in per cent",
            text(above="Barometer: 29.62 inHg, Air temp: 85 F; Humidity: 15\n"),
        ),
        case(
            "boost with a zero",
            text(
                (*three, Column("Boost [psi]", (MAP - BARO) / PSI)),
                above=BAROMETER,
                change=put(3, [30], "0.00"),
            ),
        ),
        case("AFR on the gasoline scale", text((*three, Column("AFR", LAMBDA * 14.7)))),
        case("outlet temperature", text((*three, Column("Compressor outlet temp [degC]", OUT_T)))),
        case("observed before corrected", text((*three, Column("SAE torque [Nm]", TORQUE * 1.03)))),
        case(
            "wheel torque beside",
            text((*three, Column("Wheel torque [Nm]", TORQUE * 0.85))),
            "flag",
            "looks like torque",
        ),
        case("target beside", text((*FULL, Column("Target boost [kPa]", MAP * 0 + 80.0)))),
        case("road speed beside", text((*FULL, Column("Speed [km/h]", RPM / 40.0)))),
    ]


def defects() -> list[Case]:
    """Sensors that fail: each must be listed, and nothing wrong handed on unsaid."""
    probes = [Column(f"EGT {i} [degC]", EGT + d) for i, d in ((1, -4.0), (2, 0.0), (3, 4.0))]
    dead = [*probes[:2], Column("EGT 3 [degC]", EGT * 0 + 21.0)]
    spiky = MAP.copy()
    spiky[50] = 400.0
    clipped = np.minimum(MAP, 160.0)
    frozen = MAP.copy()
    frozen[40:75] = frozen[40]
    cases = {
        "a dead probe": (text((*FULL, *dead)), "left out of the mean"),
        "a probe that falls silent": (
            text((*FULL, *probes), change=put(7, range(60, 120), "---")),
            "missing",
        ),
        "full scale": (text(change=put(3, [20, 21], "6553.5")), "taken as missing"),
        "minus one": (
            text((*FULL[:3], Column("Lambda", LAMBDA, 3)), change=put(3, [9], "-1.000")),
            "lambda",
        ),
        "a spike": (text((*FULL[:3], Column("MAP [kPa abs]", spiky))), "jump"),
        "a clipped sensor": (text((*FULL[:3], Column("MAP [kPa abs]", clipped))), "highest"),
        "a frozen sensor": (text((*FULL[:3], Column("MAP [kPa abs]", frozen))), "stands still"),
        "a stuck sensor": (
            text((*FULL[:4], Column("Charge temp [degC]", IAT * 0 + 40.0))),
            "never moves",
        ),
        "a lost speed": (text(change=put(1, [30], "0.0")), "engine speed"),
        "a speed of full scale": (text(change=put(1, [30], "65535")), "engine speed"),
        "an impossible temperature": (text(change=put(4, [30], "-400.00")), "plenum temperature"),
        "missing readings": (text(change=put(2, [5, 6], "N/A")), "missing"),
        "errors as words": (text(change=put(4, [5, 6], "ERR")), "missing"),
        "a short row": (
            text(change=lambda rows: [r[:3] if i == 9 else r for i, r in enumerate(rows)]),
            "short rows",
        ),
        "an empty column": (text(change=put(4, range(ROWS), "")), "holds no reading"),
        "a dash for missing": (text(change=put(4, [8], "\N{EN DASH}")), "missing"),
    }
    return [case(n, body, "flag", say) for n, (body, say) in cases.items()]


def numbers() -> list[Case]:
    """Thousands marks and units in cells."""

    def grouped(mark: str, decimal: str = ".") -> str:
        def change(rows: list[list[str]]) -> list[list[str]]:
            for row in rows:
                whole, _, rest = row[1].partition(decimal)
                row[1] = f"{whole[:-3]}{mark}{whole[-3:]}{decimal}{rest}"
            return rows

        return text(delimiter=";", decimal=decimal, change=change)

    def united(rows: list[list[str]]) -> list[list[str]]:
        for row in rows:
            row[2] += " Nm"
        return rows

    bare = (*FULL[:2], Column("Observed torque", TORQUE), *FULL[3:])
    return [
        case("apostrophes", grouped("'")),
        case("typographic apostrophes", grouped("\u2019")),
        case("points and decimal commas", grouped(".", ",")),
        case("narrow blanks", grouped("\u202f")),
        case(
            "commas in quotes",
            text(change=lambda rows: [[r[0], f'"{r[1][0]},{r[1][1:]}"', *r[2:]] for r in rows]),
        ),
        case("units in the cells", text(bare, change=united)),
        case(
            "a minus sign",
            text(change=put(4, [3], "\N{MINUS SIGN}31.0")),
            "flag",
            "plenum temperature",
        ),
    ]


TROUBLES = [*asked(), *told_by_data(), *defects(), *numbers()]
