"""More than a hundred logs and what is expected of their reader; see `log_generator`."""

import numpy as np

from log_contradictions import CONTRADICTIONS
from log_generator import (
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
    POWER,
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
    text,
)
from log_layouts import LAYOUTS
from log_sheets import SHEETS
from log_strangers import STRANGERS
from log_troubles import TROUBLES

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
    two = [
        Column("Speed", RPM, 1, "rpm"),
        Column("Torque observed", TORQUE, 2, "Nm"),
        Column("Boost", MAP - BARO, 2, "kPa rel"),
    ]
    above = f"{BAROMETER}Engine,Engine,Plenum\n"
    cases.append(case("two rows of headings", text(two, units=True, above=above)))
    us = (
        TIME,
        SPEED,
        Column("Obs Torque [lb-ft]", TORQUE / LBFT),
        Column("Obs Power [hp]", POWER * 1e3 / HP),
        Column("Boost [psig]", (MAP - BARO) / PSI, 3),
        Column("Charge temp [degF]", fahrenheit(IAT)),
        Column("EGT [F]", fahrenheit(EGT), 0),
        Column("Lambda", LAMBDA, 3),
        Column("Fuel flow [lb/hr]", FUEL / 0.45359237),
    )
    cases.append(case("pounds and Fahrenheit", text(us, above="Barometer: 28.94 inHg\n")))
    cases += [case(name, body) for name, body in _languages().items()]
    for name, unit, values in (
        ("bar", "bar abs", MAP / 100.0),
        ("psia", "psia", MAP / PSI),
        ("mbar", "mbar abs", MAP * 10),
        ("inHg", "inHg abs", MAP / INHG),
        ("kPa a", "kPa(abs)", MAP),
    ):
        columns = (*FULL[:3], Column(f"Manifold pressure [{unit}]", values, 3), CHARGE)
        cases.append(case(f"manifold in {name}", text(columns)))
    for name, words in (
        ("uncorrected", "All values uncorrected\n"),
        ("no correction", "Correction: none\n"),
        ("observed values", "Observed power and torque values\n"),
    ):
        columns = (*FULL[:2], Column("Torque [Nm]", TORQUE), *FULL[3:])
        cases.append(case(f"basis: {name}", text(columns, above=words)))
    return [_as_labelled(one) for one in cases]


def _as_labelled(one: Case) -> Case:
    return Case(one.name, one.content, one.expect, one.say, one.pulls, True)


def _languages() -> dict[str, str]:
    """The same pull with headings in several languages."""
    sets = {
        "German": (
            "Zeit [s]",
            "Motordrehzahl [1/min]",
            "Drehmoment unkorrigiert [Nm]",
            "Ladedruck absolut [mbar]",
            "Ladelufttemperatur [°C]",
        ),
        "French": (
            "Temps (s)",
            "Régime moteur (tr/min)",
            "Couple non corrigé (Nm)",
            "Pression d'admission absolue (mbar)",
            "Température d'admission (°C)",
        ),
        "Italian": (
            "Tempo (s)",
            "Giri motore (giri/min)",
            "Coppia non corretta (Nm)",
            "Pressione di aspirazione assoluta (mbar)",
            "Temperatura di aspirazione (°C)",
        ),
        "Spanish": (
            "Tiempo (s)",
            "Régimen del motor (rpm)",
            "Par motor sin corregir (Nm)",
            "Presión de admisión absoluta (mbar)",
            "Temperatura de admisión (°C)",
        ),
    }
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
        case(
            "AM and PM over midnight", with_times([clock(s, True) for s in at]), "flag", "midnight"
        ),
        case("ISO dates", with_times(iso)),
        case("American dates", with_times(slashes)),
        case("clock set back once", with_times(back), "flag", "steps back"),
        case("newest first", newest, "flag", "newest row"),
        case(
            "clock unit",
            with_times([clock(s - 40000) for s in at]).replace("Time,", "Time [hh:mm:ss],"),
        ),
        case("time without unit", text((Column("Time", TIME.values), *FULL[1:]))),
        case("milliseconds", text((Column("Time [ms]", TIME.values * 1e3, 0), *FULL[1:]))),
    ]


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
        case(
            "two pulls by speed",
            "\n".join([no_time, *(r.split(",", 1)[1] for r in rows * 2)]),
            pulls=2,
        ),
        case(
            "points in any order",
            "\n".join([no_time, *map(",".join, points)]),
            "flag",
            "no order",
            points=True,
        ),
        case(
            "falling speed",
            "\n".join([no_time, *(r.split(",", 1)[1] for r in rows[::-1])]),
            "flag",
            "turned",
        ),
        case("a line cut in a row", text() + rows[-1][:9], "flag", "last line"),
        case("a last number cut short", text().rstrip("\n")[:-1], "flag", "cut short"),
        case(
            "weather at the end",
            text((*FULL[:3], Column("Boost [kPa rel]", MAP - BARO)), below=BAROMETER),
        ),
    ]


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


CASES = [*labelled(), *times(), *stories(), *places(), *TROUBLES, *STRANGERS, *SHEETS, *LAYOUTS]
CASES += CONTRADICTIONS
