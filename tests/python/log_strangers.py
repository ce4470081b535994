"""Logs in odd shapes, as other people's loggers might write them; see `log_generator`."""

import numpy as np

from log_generator import (
    ABSOLUTE,
    BARO,
    CHARGE,
    EGT,
    FUEL,
    FULL,
    IAT,
    INHG,
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

THREE = FULL[:3]
PLAIN = Column("Torque [Nm]", TORQUE)
HP_OF = 745.69987


def bases() -> list[Case]:
    """Words about correction in many places."""
    cases = []
    for words, basis in (
        ("Power correction: SAE J1349", "sae_j1349"),
        ("Correction,SAE J1349,", "sae_j1349"),
        ("Correction standard: SAE J1349 rev 2004", "sae_j1349"),
        ("Torque and power corrected to STD", "std_29_92"),
        ("Correction factor (ISO 1585): 1.02", "iso_1585"),
        ("Leistung unkorrigiert", "observed"),
        ("Corr. method: none", "observed"),
    ):
        body = text((TIME, SPEED, PLAIN, CHARGE), above=words + "\n")
        cases.append(case(f"basis of: {words}", body, basis=basis))
    for words in (
        "Power correction: DIN 70020",
        "Correction: SAE J1995",
        "Correction SAE, also uncorrected values",
        "Operator SAE member, power run 3",
        "Observed weather: fine",
        "Gear 4 std, power run",
        "Report per ISO 9001, torque wrench calibrated",
    ):
        body = text((TIME, SPEED, PLAIN, CHARGE), above=words + "\n")
        cases.append(case(f"no basis: {words}", body, "ask", "power_basis"))
    heads = {
        "SAE Corrected Torque [Nm]": "sae_j1349",
        "Torque (corr. to SAE) [Nm]": "sae_j1349",
        "Torque SAE [Nm]": "sae_j1349", "Torque (STD) [Nm]": "std_29_92", "TrqObs [Nm]": "observed",
        "Uncorr. torque [Nm]": "observed", "Torque_uncorrected_Nm": "observed",
    }  # fmt: skip
    for head, basis in heads.items():
        body = text((TIME, SPEED, Column(head, TORQUE), CHARGE))
        cases.append(case(f"heading {head}", body, basis=basis))
    return cases


def headings() -> list[Case]:
    """Headings and units as loggers write them."""
    caps = [
        Column("TIME", TIME.values, 2, "SEC"),
        Column("RPM", RPM, 1, "RPM"),
        Column("OBS TRQ", TORQUE / LBFT, 2, "FT-LB"),
        Column("BOOST", (MAP - BARO) / PSI, 3, "PSIG"),
        Column("IAT", fahrenheit(IAT), 2, "DEG F"),
    ]
    above = "sep=,\nBARO: 28.94 inHg\n"
    degree = (*THREE, Column("Charge temp [\u00b0C]", IAT))
    broken = text(degree).encode().decode("windows-1252")
    return [
        case("capitals and units below", text(caps, above=above, units=True)),
        case("a degree sign that was broken", broken, hold=("plenum_temperature",)),
        case(
            "kilogram-metres",
            text((TIME, SPEED, Column("Observed torque [kgf m]", TORQUE / 9.80665, 3))),
        ),
        case("CV", text((*THREE, Column("Observed power [CV]", POWER * 1e3 / PS)))),
        case(
            "thousands of revs",
            text((TIME, Column("RPM x1000", RPM / 1e3, 4), OBSERVED)),
            "ask",
            "engine speed",
        ),
        case("minutes", text((Column("Time [min]", TIME.values / 60.0, 5), *FULL[1:]))),
        case(
            "boost and MAP",
            text(
                (*THREE, Column("Boost [psig]", (MAP - BARO) / PSI, 3), ABSOLUTE),
                above="Barometer: 98 kPa\n",
            ),
        ),
        case(
            "statistics above",
            text(change=lambda rows: [["Max", "7200", "690", "191", "60"], *rows]),
            "flag",
            "statistics",
        ),
        case("a foot", text(below="Total rows: 120\nEND OF FILE\n")),
        case(
            "scientific",
            text(
                (TIME, SPEED, OBSERVED),
                change=lambda rows: [[r[0], f"{float(r[1]):.5E}", r[2]] for r in rows],
            ),
        ),
        case(
            "unknown alphabet",
            text(
                [
                    Column("\u10d1\u10e0\u10e3\u10dc\u10d5\u10d0", RPM),
                    Column("\u10e5\u10d0\u10e0\u10d8", TORQUE),
                ]
            ),
            "refuse",
            "engine speed",
        ),
        case("spaces around", text(delimiter=" ; ")),
        case("quoted", text([Column(f'"{c.heading}"', c.values, c.places) for c in FULL])),
        case(
            "outlet in psi beside labelled plenum",
            text((*THREE, ABSOLUTE, Column("Compressor outlet pressure [psi]", OUT / PSI, 3))),
        ),
        case("an unused channel", text((*FULL, Column("Oil pressure [bar]", 0 * RPM + 4.0)))),
        case("own wheel power", text((*FULL, Column("WHP", POWER))), "flag", "looks like torque"),
        case(
            "gauge inlet",
            text(
                (*THREE, Column("Compressor inlet pressure [kPa]", -1.0 - RPM / 7e3)),
                above="Barometer: 98 kPa\n",
            ),
        ),
    ]


def stories() -> list[Case]:
    """Several pulls and weathers, gauges among them."""
    columns = (TIME, SPEED, OBSERVED, Column("Boost [kPa rel]", MAP - BARO))
    other = (TIME, SPEED, OBSERVED, Column("Boost [kPa rel]", MAP - BARO - 2.5))
    body = f"Run 1\nBarometer: 98.0 kPa\n{text(columns)}Run 2\nBarometer: 100.5 kPa\n{text(other)}"
    page = text(columns).split("\n")
    paged = "\n".join([*page[:60], "Barometer: 98 kPa", page[0], *page[60:]])
    head, *rows = text().strip().split("\n")
    down = text(
        tuple(Column(c.heading, np.append(c.values, c.values[::-1]), c.places) for c in FULL[1:])
    )
    gap = "\n".join([head, *rows[:50], "", "", *rows[50:]])
    twice = f"Barometer: 98.0 kPa\nBarometer: 29.9 inHg\n{text(columns)}"
    return [
        case("gauges in two weathers", body, pulls=2),
        case("weather told again on a page", "Barometer: 98 kPa\n" + paged),
        case("up and down without time", down, pulls=2),
        case("blank lines inside", gap),
        case("two barometers", twice, "flag", "two values of barometer"),
        case("barometer by its size", "Barometer: 980\n" + text(columns)),
        case(
            "a barometer that cannot be",
            "Barometer: 29.62 psi\n" + text(columns),
            "ask",
            "ambient.barometer",
        ),
        case(
            "barometer column with a zero",
            text(
                (*columns, Column("Barometer [inHg]", 0 * MAP + BARO / INHG, 3)),
                change=put(4, [3], "0.00"),
            ),
            "flag",
            "barometer",
        ),
    ]


def defects() -> list[Case]:
    """More failing sensors."""
    two = [Column("EGT 1 [degC]", EGT), Column("EGT 2 [degC]", EGT * 0 + 19.0)]
    banks = [Column("Lambda 1", LAMBDA, 3), Column("Lambda 2", LAMBDA * 0 + 1.0, 3)]
    noisy = np.random.default_rng(5).normal(20.0, 0.3, ROWS)
    low = [
        Column("EGT 1 [degC]", EGT),
        Column("EGT 2 [degC]", EGT + 3.0),
        Column("EGT 3 [degC]", noisy),
    ]
    return [
        case("one of two probes dead", text((*FULL, *two)), "flag", "left out of the mean"),
        case("a bank that is stuck", text((*FULL, *banks)), "flag", "left out of the mean"),
        case("a probe in the room", text((*FULL, *low)), "flag", "left out of the mean"),
        case("zeros in torque", text(change=put(2, [40], "0.00")), "flag", "jump"),
        case(
            "outlet colder than it can be",
            text(
                (
                    *FULL,
                    Column("Compressor outlet pressure [kPa abs]", OUT),
                    Column("Compressor outlet temp [degF]", OUT_T),
                ),
                above="Barometer: 98 kPa, Air temp: 20 C\n",
            ),
            "flag",
            "compressor outlet temp",
        ),
        case(
            "minus in absolute pressure",
            text(change=put(3, [40], "-5.0")),
            "flag",
            "plenum pressure",
        ),
        case("dashes of several kinds", text(change=put(4, [3, 4, 5], "--.-")), "flag", "missing"),
        case("a mark of its own", text(change=put(4, [3], "n/d")), "ask", 'missing = ["n/d"]'),
    ]


def contradictions() -> list[Case]:
    """Headings, units and readings that do not go together."""
    vacuum = Column("Manifold vacuum [inHg]", (BARO - MAP) / INHG)
    below = [
        Column(c.heading, c.values, c.places, u)
        for c, u in zip(THREE, ("s", "rpm", "lb-ft"), strict=True)
    ]
    both = (
        Column("Observed power [kW]", POWER),
        Column("Observed power [hp]", POWER * 1e3 / HP_OF),
    )
    three = text(THREE)
    other_units = text((*THREE[:2], Column("Observed torque [lb-ft]", TORQUE / LBFT)))
    weather = "Barometer: 98 kPa\n"
    soll = [
        Column("Drehzahl Soll [1/min]", RPM + 50.0),
        Column("Drehzahl Ist [1/min]", RPM),
        Column("Drehmoment unkorr. [Nm]", TORQUE),
    ]
    bar = text((*THREE, Column("MAP [bar abs]", MAP / 100.0, 3)), ";", ",")
    dots = "\n".join(
        ";".join([*line.split(";")[:3], line.split(";")[3].replace(",", ".")])
        for line in bar.strip().split("\n")
    )
    volts = text((*THREE, Column("Wideband [V]", LAMBDA, 3)))
    return [
        case("a vacuum that is boost", text((*THREE, vacuum), above=weather), "ask", "reference"),
        case("two units of one column", text(below, units=True), "ask", "torque.unit"),
        case("kW and hp of one power", text((*THREE, *both))),
        case("pages in other units", three + other_units, "refuse", "a second table"),
        case("a remark under the headings", three.replace("\n", "\nRun 3, started 10:32\n", 1)),
        case(
            "ratios called lambda", text((*THREE, Column("Lambda", LAMBDA * 14.7))), "ask", "scale"
        ),
        case("lambda in volts", volts, "ask", "scale"),
        case(
            "ratios of another fuel", text((*THREE, Column("AFR", LAMBDA * 9.77))), "ask", "scale"
        ),
        case("what should be and what is", text(soll)),
        case("dots in one column of commas", dots, "ask", "plenum_pressure.unit"),
        case(
            "inch-pounds", text((*THREE[:2], Column("Observed torque [lb-in]", TORQUE * 8.850746)))
        ),
        case("humidity of one", text(above=f"{weather}Humidity: 1\n"), "flag", "per cent"),
        case(
            "grams a second that are kilograms an hour",
            text((*THREE, Column("Fuel flow [g/s]", FUEL))),
            "ask",
            "fuel_flow.unit",
        ),
        case(
            "absolute by name, high gauge by data",
            text((*THREE, Column("MAP [kPa abs]", MAP - 60.0)), above=weather),
            "ask",
            "reference",
        ),
        case(
            "a probe at its end",
            text(
                (
                    *FULL,
                    Column("EGT 1 [degC]", EGT),
                    Column("EGT 2 [degC]", 0 * EGT + 1372),
                    Column("EGT 3 [degC]", EGT + 2),
                )
            ),
            "flag",
            "left out",
        ),
        case(
            "no pressure in the plenum",
            text(change=put(3, range(40, 60), "0.00")),
            "flag",
            "cannot be",
        ),
        case(
            "an open thermometer",
            text(change=put(4, range(ROWS), "-40.00")),
            "ask",
            "plenum_temperature.unit",
        ),
    ]


def signs() -> list[Case]:
    """Signs of several kinds, and units that are seldom."""
    square = Column("MAP [kg/cm\u00b2 abs]", MAP / 98.0665, 4)
    marked = "\ufeff" + text().replace("\n", "\n\ufeff", 1)
    turbo = Column("Boost [psig]", (MAP - BARO) / PSI, 3)
    inch_pounds = Column("Observed torque [lb-in]", TORQUE * 8.850746, 0)

    def grouped(rows: list[list[str]]) -> list[list[str]]:
        return [[*row[:2], f'"{row[2][:-3]},{row[2][-3:]}"'] for row in rows]

    return [
        case("kilograms a square centimetre", text((*THREE, square))),
        case("marks in the middle", marked),
        case("quoted decimal commas", text(change=lambda rows: [
            [f'"{cell.replace(".", ",")}"' for cell in row] for row in rows])),
        case("empty lines between all rows", text().replace("\n", "\n\n")),
        case("blanks at every end", text().replace("\n", "   \n")),
        case("a mark before every row", "\n".join("," + row for row in text().strip().split("\n"))),
        case("gauge in words", text((*THREE, turbo), above="Barometer: 735.06 mmHg\n")),
        case("thousands in quotes", text((TIME, SPEED, inch_pounds), change=grouped)),
        case("a time that is a number", text((Column("Time", np.arange(ROWS) + 0.0, 0), *FULL[1:])),
             "flag", "its unit is not told"),
    ]  # fmt: skip


STRANGERS = [*bases(), *headings(), *stories(), *defects(), *contradictions(), *signs()]
