"""More than a hundred logs and what is expected of their reader; see `log_generator`."""

import numpy as np

from log_generator import (
    ABSOLUTE,
    BARO,
    CHARGE,
    EGT,
    FUEL,
    FULL,
    HP,
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
    fixed,
    put,
    text,
)  # fmt: skip

BAROMETER = "Barometer: 98.0 kPa\n"


def labelled() -> list[Case]:
    """Logs that tell everything: nothing may be asked."""
    cases = [
        case("plain", text()),
        case("semicolons and decimal commas", text(delimiter=";", decimal=",")),
        case("tabs", text(delimiter="\t")),
        case("bars", text(delimiter="|")),
        case("blanks after commas", text(delimiter=", ")),
        case("trailing commas", text(end=",\n")),
        case("Windows line ends", text(end="\r\n")),
        case("comment marks", text(above="# a log\n# ")),
        case("blank lines", text(above="\n\n", below="\n\n")),
        case("padded with zeros", text() + "\0" * 700),
        Case("UTF-16", text(delimiter=";", decimal=",").encode("utf-16")),
        Case("UTF-8 with mark", text().encode("utf-8-sig")),
        case("long preamble", text(above="".join(f"# line {i} of it\n" for i in range(400)))),
        case("ruler", text().replace("\n", "\n------,------,------,------,------\n", 1)),
    ]
    units = ("s", "rpm", "Nm", "kPa abs", "degC")
    heads = ("Time", "Engine speed", "Observed torque", "MAP", "Charge temp")
    rows = [Column(h, c.values, c.places, u) for h, c, u in zip(heads, FULL, units, strict=True)]
    cases.append(case("row of units", text(rows, units=True)))
    two = [Column("Speed", RPM, 1, "rpm"), Column("Torque observed", TORQUE, 2, "Nm"),
           Column("Boost", MAP - BARO, 2, "kPa rel")]  # fmt: skip
    above = f"{BAROMETER}Engine,Engine,Plenum\n"
    cases.append(case("two rows of headings", text(two, units=True, above=above)))
    us = (TIME, SPEED, Column("Obs Torque [lb-ft]", TORQUE / LBFT),
          Column("Obs Power [hp]", POWER * 1e3 / HP), Column("Boost [psig]", (MAP - BARO) / PSI, 3),
          Column("Charge temp [degF]", fahrenheit(IAT)), Column("EGT [F]", fahrenheit(EGT), 0),
          Column("Lambda", LAMBDA, 3), Column("Fuel flow [lb/hr]", FUEL / 0.45359237))  # fmt: skip
    cases.append(case("pounds and Fahrenheit", text(us, above="Barometer: 28.94 inHg\n")))
    cases += [case(name, body) for name, body in _languages().items()]
    for name, unit, values in (
        ("bar", "bar abs", MAP / 100.0), ("psia", "psia", MAP / PSI), ("mbar", "mbar abs", MAP * 10),
        ("inHg", "inHg abs", MAP / INHG), ("kPa a", "kPa(abs)", MAP),
    ):  # fmt: skip
        columns = (*FULL[:3], Column(f"Manifold pressure [{unit}]", values, 3), CHARGE)
        cases.append(case(f"manifold in {name}", text(columns)))
    for name, words in (
        ("uncorrected", "All values uncorrected\n"), ("no correction", "Correction: none\n"),
        ("observed values", "Observed power and torque values\n"),
    ):  # fmt: skip
        columns = (*FULL[:2], Column("Torque [Nm]", TORQUE), *FULL[3:])
        cases.append(case(f"basis: {name}", text(columns, above=words)))
    return [_as_labelled(one) for one in cases]


def _as_labelled(one: Case) -> Case:
    return Case(one.name, one.content, one.expect, one.say, one.pulls, True)


def _languages() -> dict[str, str]:
    """The same pull with headings in several languages."""
    sets = {
        "German": ("Zeit [s]", "Motordrehzahl [1/min]", "Drehmoment unkorrigiert [Nm]",
                   "Ladedruck absolut [mbar]", "Ladelufttemperatur [°C]"),
        "French": ("Temps (s)", "Régime moteur (tr/min)", "Couple non corrigé (Nm)",
                   "Pression d'admission absolue (mbar)", "Température d'admission (°C)"),
        "Italian": ("Tempo (s)", "Giri motore (giri/min)", "Coppia non corretta (Nm)",
                    "Pressione di aspirazione assoluta (mbar)", "Temperatura di aspirazione (°C)"),
        "Spanish": ("Tiempo (s)", "Régimen del motor (rpm)", "Par motor sin corregir (Nm)",
                    "Presión de admisión absoluta (mbar)", "Temperatura de admisión (°C)"),
    }  # fmt: skip
    values = (TIME.values, RPM, TORQUE, MAP * 10.0, IAT)
    return {
        name: text([Column(h, v) for h, v in zip(heads, values, strict=True)], ";", ",")
        for name, heads in sets.items()
    }


def times() -> list[Case]:
    """Clocks and dates of many kinds; none may be asked about."""
    base = 3600.0 * 23 + 59 * 60 + 55
    at = [base + 0.1 * i for i in range(ROWS)]

    def clock(seconds: float, half: bool = False) -> str:
        day = seconds % 86400.0
        hour, rest = divmod(day, 3600.0)
        tail = f"{int(rest // 60):02d}:{rest % 60:04.1f}"
        if not half:
            return f"{int(hour):02d}:{tail}"
        return f"{int(hour) % 12 or 12}:{tail} {'PM' if hour >= 12 else 'AM'}"

    columns = (Column("Time", TIME.values), *FULL[1:])

    def with_times(cells: list[str]) -> str:
        return text(
            columns, change=lambda rows: [[c, *r[1:]] for c, r in zip(cells, rows, strict=True)]
        )

    iso = [f"2024-05-0{2 if s >= 86400 else 1}T{clock(s)}" for s in at]
    slashes = [f"5/{2 if s >= 86400 else 1}/2024 {clock(s, True)}" for s in at]
    back = [clock(40000.0 + 0.1 * i - (7.0 if i > 60 else 0.0)) for i in range(ROWS)]
    newest = text(change=lambda rows: rows[::-1])
    return [
        case("clock over midnight", with_times([clock(s) for s in at]), "flag", "midnight"),
        case("AM and PM over midnight", with_times([clock(s, True) for s in at]), "flag", "midnight"),
        case("ISO dates", with_times(iso)),
        case("American dates", with_times(slashes)),
        case("clock set back once", with_times(back), "flag", "steps back"),
        case("newest first", newest, "flag", "newest row"),
        case("clock unit", with_times([clock(s - 40000) for s in at]).replace("Time,", "Time [hh:mm:ss],")),
        case("time without unit", text((Column("Time", TIME.values), *FULL[1:]))),
        case("milliseconds", text((Column("Time [ms]", TIME.values * 1e3, 0), *FULL[1:]))),
    ]  # fmt: skip


def stories() -> list[Case]:
    """Pages, remarks, titles, statistics, several pulls."""
    head, *rows = text().strip().split("\n")

    def paged(between: str) -> str:
        pages = [rows[i : i + 40] for i in range(0, ROWS, 40)]
        return "\n".join([head, *between.join("\n".join(p) + "\n" for p in pages).split("\n")])

    stats = "\n".join(f"{n},{','.join(['1.5'] * 4)}" for n in ("Min", "Max", "Average"))
    weathers = "\n".join(
        f"Run {k}\nBarometer: {b} kPa, Air temp: 20 C\n{head}\n" + "\n".join(rows)
        for k, b in ((1, 98.0), (2, 100.5))
    )
    below = "\n".join(
        f"{head}\n" + "\n".join(rows) + f"\nRun {k}\nBarometer: {b} kPa, Air temp: 20 C"
        for k, b in ((1, 98.0), (2, 100.5))
    )
    order = np.random.default_rng(3).permutation(14)
    points = [rows[i * 9 + 1].split(",")[1:] for i in order]
    no_time = ",".join(head.split(",")[1:])
    return [
        case("pages with headings", paged(f"{head}\n")),
        case("pages with page numbers", paged(f"Page 2 of 3\n{head}\n")),
        case("a remark in the middle", paged("# knock heard, backed off, cylinder 3, 4 degrees\n")),
        case("a remark with commas", paged("driver says, it pinged, at once, then, quiet\n")),
        case("statistics below", text(below=stats + "\n"), "flag", "statistics"),
        case("two pulls with titles", f"{weathers}\n", pulls=2),
        case("titles below", f"{below}\n", pulls=2),
        case("two pulls by speed", "\n".join([no_time, *(r.split(",", 1)[1] for r in rows * 2)]), pulls=2),
        case("points in any order", "\n".join([no_time, *map(",".join, points)]), "flag", "no order",
             points=True),
        case("falling speed", "\n".join([no_time, *(r.split(",", 1)[1] for r in rows[::-1])]), "flag", "turned"),
        case("a line cut in a row", text() + rows[-1][:9], "flag", "last line"),
        case("a last number cut short", text().rstrip("\n")[:-1], "flag", "cut short"),
        case("weather at the end", text((*FULL[:3], Column("Boost [kPa rel]", MAP - BARO)), below=BAROMETER)),
    ]  # fmt: skip


def places() -> list[Case]:
    """Columns of fixed width and headings that do not fit."""
    heads = ("Time s", "Engine Speed rpm", "Observed Torque Nm", "MAP kPa abs", "Charge Temp degC")
    columns = [Column(h, c.values, c.places) for h, c in zip(heads, FULL, strict=True)]
    wide = (10, 20, 22, 14, 20)
    extra = text().replace("Engine speed [rpm]", "Engine,speed [rpm]")
    return [
        case("fixed width, right", fixed(columns, wide), labelled=True),
        case("fixed width, left", fixed(columns, wide, left=True), labelled=True),
        case("fixed width, a blank cell", fixed(columns, wide, blank=9), "flag", "missing"),
        case("a heading with the delimiter", extra, "refuse", "headings do not fit"),
        case("no headings", text().split("\n", 1)[1], "refuse", "by number"),
        case("a long heading", text((*FULL, Column("x" * 40_000, RPM)))),
        case("a million cells", text() + "1," * 1_000_000 + "1\n", "refuse", "must have at most"),
    ]


def asked() -> list[Case]:
    """What the log does not tell, or tells against its readings: it must be asked."""
    three = FULL[:3]
    psi = Column("MAP [psi]", MAP / PSI)
    plain = Column("Torque [Nm]", TORQUE)
    rows = {
        "MAP in psi": (three + (psi,), "plenum_pressure.reference"),
        "MAP in kPa": (three + (Column("MAP [kPa]", MAP),), "plenum_pressure.reference"),
        "boost that is absolute": (three + (Column("Boost [kPa]", MAP),), "plenum_pressure.reference"),
        "absolute by name, gauge by data": (
            three + (Column("MAP [kPa abs]", MAP - BARO),), "plenum_pressure.reference"),
        "torque unit": ((TIME, SPEED, Column("Observed torque", TORQUE)), "torque.unit"),
        "basis": ((TIME, SPEED, plain), "power_basis"),
        "corrected by what": ((TIME, SPEED, Column("Corr torque [Nm]", TORQUE)), "power_basis"),
        "hp that are PS": (three + (Column("Observed power [hp]", POWER * 1e3 / PS),), "power.unit"),
        "Nm that are lb ft": (
            (TIME, SPEED, Column("Observed torque [Nm]", TORQUE / LBFT), Column("Observed power [kW]", POWER)),
            "torque.unit"),
        "hp or PS": (three + (Column("Observed power", POWER * 1e3 / HP),), "power.unit"),
        "bar that are kPa": (three + (Column("MAP [bar abs]", MAP),), "plenum_pressure.unit"),
        "Fahrenheit called Celsius": (three + (Column("Charge temp [degC]", fahrenheit(IAT) + 60),),
                                      "plenum_temperature.unit"),
        "EGT in the wrong unit": (three + (Column("EGT [degC]", fahrenheit(EGT)),), "exhaust_temperature.unit"),
        "coolant in the wrong unit": (three + (Column("Coolant temp [degF]", 85 + 0 * IAT + IAT / 50),),
                                      "coolant_temperature.unit"),
        "thousands of rpm": ((TIME, Column("Engine speed [rpm]", RPM / 1e3, 4), OBSERVED), "engine_speed.unit"),
        "two charge temperatures": (FULL + (Column("Charge temp [degC]", IAT + 6),), "plenum_temperature.column"),
        "fuel by volume": (three + (Column("Fuel flow [L/h]", FUEL / 0.74),), "fuel_flow.density"),
        "a strange ratio": (three + (Column("AFR", LAMBDA * 6.47),), "lambda.scale"),
        "lambda called AFR": (three + (Column("AFR", LAMBDA, 3),), "lambda.scale"),
        "boost without barometer": (three + (Column("Boost [psi]", (MAP - BARO) / PSI),), "ambient.barometer"),
        "torque and power swapped": (
            (TIME, SPEED, Column("Observed torque [Nm]", POWER), Column("Observed power [kW]", TORQUE)),
            "torque.column"),
    }  # fmt: skip
    cases = [case(n, text(columns), "ask", say) for n, (columns, say) in rows.items()]
    one_zero = text(three + (psi,), change=put(3, [4], "0.00"))
    cases.append(case("one zero decides nothing", one_zero, "ask", "plenum_pressure.reference"))
    odd = text(three + (Column("MAP [psi]", MAP / PSI),), change=put(3, [7], "65535"))
    cases.append(case("one full scale decides nothing", odd, "ask", "plenum_pressure.reference"))
    word = text(change=put(2, [5], "abc"))
    cases.append(case("a word in a column", word, "ask", 'missing = ["abc"]'))
    for words in ("Oil: SAE 10W-40", "Gear: std 4th", "Date format ISO 8601", "Engine std bore",
                  "Tested to DIN EN ISO 9001", "Raw data export"):  # fmt: skip
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
            text(three + (Column("MAP [Mbar abs]", MAP * 10, 1),)),
            "ask",
            "plenum_pressure.unit",
        )
    )
    return cases  # fmt: skip


def told_by_data() -> list[Case]:
    """What the readings tell although the headings do not."""
    three = FULL[:3]
    gauge = Column("Manifold pressure [psi]", (MAP - BARO) / PSI)
    outlet = Column("Compressor outlet pressure [kPa abs]", OUT)
    kw = Column("Observed power", POWER)
    return [
        case("gauge by its size", text(three + (gauge,), above=BAROMETER)),
        case("absolute by its neighbour", text(three + (outlet, Column("MAP [kPa]", MAP)))),
        case("kW by the product", text(three + (kw,))),
        case("humidity in per cent", text(above="Barometer: 29.62 inHg, Air temp: 85 F; Humidity: 15\n")),
        case("boost with a zero", text(three + (Column("Boost [psi]", (MAP - BARO) / PSI),),
                                       above=BAROMETER, change=put(3, [30], "0.00"))),
        case("AFR on the gasoline scale", text(three + (Column("AFR", LAMBDA * 14.7),))),
        case("outlet temperature", text(three + (Column("Compressor outlet temp [degC]", OUT_T),))),
        case("observed before corrected", text(three + (Column("SAE torque [Nm]", TORQUE * 1.03),))),
        case("wheel torque beside", text(three + (Column("Wheel torque [Nm]", TORQUE * 0.85),)), "flag",
             "looks like torque"),
        case("target beside", text((*FULL, Column("Target boost [kPa]", MAP * 0 + 80.0)))),
        case("road speed beside", text((*FULL, Column("Speed [km/h]", RPM / 40.0)))),
    ]  # fmt: skip


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
        "a probe that falls silent": (text((*FULL, *probes), change=put(7, range(60, 120), "---")), "missing"),
        "full scale": (text(change=put(3, [20, 21], "6553.5")), "taken as missing"),
        "minus one": (text((*FULL[:3], Column("Lambda", LAMBDA, 3)), change=put(3, [9], "-1.000")), "lambda"),
        "a spike": (text((*FULL[:3], Column("MAP [kPa abs]", spiky))), "jump"),
        "a clipped sensor": (text((*FULL[:3], Column("MAP [kPa abs]", clipped))), "highest"),
        "a frozen sensor": (text((*FULL[:3], Column("MAP [kPa abs]", frozen))), "stands still"),
        "a stuck sensor": (text((*FULL[:4], Column("Charge temp [degC]", IAT * 0 + 40.0))), "never moves"),
        "a lost speed": (text(change=put(1, [30], "0.0")), "engine speed"),
        "a speed of full scale": (text(change=put(1, [30], "65535")), "engine speed"),
        "an impossible temperature": (text(change=put(4, [30], "-400.00")), "plenum temperature"),
        "missing readings": (text(change=put(2, [5, 6], "N/A")), "missing"),
        "errors as words": (text(change=put(4, [5, 6], "ERR")), "missing"),
        "a short row": (text(change=lambda rows: [r[:3] if i == 9 else r for i, r in enumerate(rows)]), "short rows"),
        "an empty column": (text(change=put(4, range(ROWS), "")), "holds no reading"),
        "a dash for missing": (text(change=put(4, [8], "\N{EN DASH}")), "missing"),
    }  # fmt: skip
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
        case("commas in quotes", text(change=lambda rows: [[r[0], f'"{r[1][0]},{r[1][1:]}"', *r[2:]] for r in rows])),
        case("units in the cells", text(bare, change=united)),
        case("a minus sign", text(change=put(4, [3], "\N{MINUS SIGN}31.0")), "flag", "plenum temperature"),
    ]  # fmt: skip


CASES = [
    *labelled(),
    *times(),
    *stories(),
    *places(),
    *asked(),
    *told_by_data(),
    *defects(),
    *numbers(),
]
__all__ = ["ABSOLUTE", "CASES", "CHARGE"]
