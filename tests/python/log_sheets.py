"""Logs out of spreadsheets, in more tongues, and of sensors that fail; see `log_generator`.

Written to look for what the reader gets wrong, and kept where it was: pressures whose heading says
in words what they count from were not read, and nobody was told.
"""

import numpy as np

from log_generator import (
    ABSOLUTE,
    CHARGE,
    FUEL,
    FULL,
    IAT,
    LAMBDA,
    LBFT,
    MAP,
    OBSERVED,
    PSI,
    RPM,
    SPEED,
    TIME,
    TORQUE,
    Case,
    Column,
    case,
    put,
    text,
)

ALL = ("engine_speed", "torque", "plenum_pressure", "plenum_temperature")
THREE = FULL[:3]
WEATHER = "Barometer: 98.0 kPa\n"


def pressures() -> list[Case]:
    """Headings that say in words what a pressure counts from."""
    gauge = MAP - 98.0
    heads = {
        "MAP abs [kPa]": MAP, "MAP (abs) [kPa]": MAP, "Absolute MAP (kPa)": MAP,
        "MAP_abs_kPa": MAP, "Manifold pressure absolute [kPa]": MAP, "Boost rel [kPa]": gauge,
        "Boost gauge (kPa)": gauge,
    }  # fmt: skip
    return [
        case(f"pressure {head}", text((*THREE, Column(head, values)), above=WEATHER),
             hold=("plenum_pressure",))
        for head, values in heads.items()
    ]  # fmt: skip


def tongues() -> list[Case]:
    """Headings of more languages, with decimal commas."""
    heads = {
        "German": ("Zeit [s]", "Drehzahl [U/min]", "Drehmoment unkorr. (gemessen) [Nm]",
                   "Saugrohrdruck abs. [kPa]", "Ladelufttemperatur [\u00b0C]"),
        "French": ("Temps [s]", "R\u00e9gime moteur [tr/min]", "Couple non corrig\u00e9 [Nm]",
                   "Pression admission abs. [kPa]", "Temp\u00e9rature admission [\u00b0C]"),
        "Italian": ("Tempo [s]", "Regime motore [giri/min]", "Coppia non corretta [Nm]",
                    "Pressione collettore ass. [kPa]", "Temperatura aspirazione [\u00b0C]"),
        "Swedish": ("Tid [s]", "Varvtal [varv/min]", "Vridmoment okorrigerat [Nm]",
                    "Insugstryck abs. [kPa]", "Laddlufttemperatur [\u00b0C]"),
        "Portuguese": ("Tempo [s]", "Rota\u00e7\u00e3o [rpm]", "Torque n\u00e3o corrigido [Nm]",
                       "Press\u00e3o coletor abs. [kPa]",
                       "Temperatura admiss\u00e3o [\u00b0C]"),
        "Finnish": ("Aika [s]", "Kierrosluku [rpm]", "V\u00e4\u00e4nt\u00f6 korjaamaton [Nm]",
                    "Ahtopaine abs. [kPa]", "Imuilman l\u00e4mp\u00f6tila [\u00b0C]"),
        "Polish": ("Czas [s]", "Obroty [obr/min]", "Moment nieskorygowany [Nm]",
                   "Ci\u015bnienie do\u0142adowania abs. [kPa]", "IAT [\u00b0C]"),
    }  # fmt: skip
    values = (TIME.values, RPM, TORQUE, MAP, IAT)
    return [
        case(f"in {name}", text([Column(h, v) for h, v in zip(row, values, strict=True)], ";", ","),
             hold=ALL)
        for name, row in heads.items()
    ]  # fmt: skip


def spreadsheets() -> list[Case]:
    """What spreadsheets and their users make of a log."""
    wrapped = (TIME, Column('"Engine speed\n[rpm]"', RPM, 1),
               Column('"Observed torque\n[Nm]"', TORQUE))  # fmt: skip
    over = [
        Column(c.heading, c.values, c.places, below)
        for c, below in zip(
            (Column("Time", TIME.values), Column("Engine", RPM), Column("Torque", TORQUE),
             Column("MAP", MAP), Column("Charge", IAT)),
            ("[s]", "Speed [rpm]", "observed [Nm]", "abs [kPa]", "temp [degC]"), strict=True,
        )
    ]  # fmt: skip

    def grouped(rows: list[list[str]]) -> list[list[str]]:
        return [[row[0], f"{row[1][0]} {row[1][1:]}", *row[2:]] for row in rows]

    return [
        case("line breaks in headings", text(wrapped), hold=("torque",)),
        case("numbers kept as texts",
             text(change=lambda rows: [[f'="{cell}"' for cell in row] for row in rows]), hold=ALL),
        case("blanks in thousands between tabs", text(FULL, "\t", ",", change=grouped), hold=ALL),
        case("two blanks between columns", text(FULL, "  "), hold=ALL),
        case("what a pressure counts from below its name", text(over, units=True), hold=ALL),
    ]  # fmt: skip


def unloaded() -> list[Case]:
    """Torque before the brake takes hold, and after it lets go."""
    early, late = TORQUE.copy(), TORQUE.copy()
    early[:8] *= 0.2
    late[-10:] *= 0.1
    return [
        case(name, text((TIME, SPEED, Column(OBSERVED.heading, values), ABSOLUTE, CHARGE)), "flag",
             "under load")
        for name, values in (("the brake takes hold late", early), ("the throttle shuts", late))
    ]  # fmt: skip


def headings() -> list[Case]:
    """Headings with their units behind a stroke, glued on, or behind a channel's name."""
    values = (TIME.values, RPM, TORQUE, MAP, IAT)
    rows = {
        "over a stroke": ("Time / s", "Engine speed / rpm", "Observed torque / Nm", "MAP abs / kPa",
                          "Charge temp / \u2103"),
        "with underscores": ("time_s", "engine_speed_rpm", "torque_observed_nm", "map_kpa_abs",
                             "charge_temp_c"),
        "in capitals within words": ("TimeSec", "EngineSpeedRpm", "ObservedTorqueNm",
                                     "ManifoldAbsPressureKpa", "ChargeTempDegC"),
        "behind channels": ("CH1: Time [s]", "CH2: Engine speed [rpm]", "CH3: Obs. torque [Nm]",
                            "CH4: MAP [kPa abs]", "CH5: Charge temp [degC]"),
        "behind devices": ("Log.Time [s]", "ECU.Engine speed [rpm]", "Dyno.Torque observed [Nm]",
                           "ECU.MAP [kPa abs]", "ECU.Charge temp [degC]"),
    }  # fmt: skip
    return [
        case(f"units {name}", text([Column(h, v) for h, v in zip(row, values, strict=True)]),
             hold=("time", *ALL))
        for name, row in rows.items()
    ] + [
        case("feet a pound", text((*FULL[:2], Column("Obs. torque (ft/lbs)", TORQUE / LBFT)))),
    ]  # fmt: skip


def tables() -> list[Case]:
    """More than one table in a file, and remarks with numbers."""
    body = text()
    return [
        case("a table of fewer columns below", f"{body}\n{text(THREE)}", "refuse", "stand in one"),
        case("best readings below", f"{body}\nPeak torque,690,5200\nPeak power,480,7100\n"),
        case("a remark of numbers",
             text(change=lambda rows: [*rows[:60], ["# 12", "13", "14", "15", "16"], *rows[60:]])),
    ]  # fmt: skip


def failing() -> list[Case]:
    """Sensors that fail without a jump that comes back, and numbers in another unit."""
    weather = "Barometer: 98.0 kPa\nAir temp: 25 C\n"
    mixture = Column("Lambda", LAMBDA, 3)
    air = Column("Air flow [kg/h]", FUEL * LAMBDA * 14.7)
    clipped = Column("Lambda", np.minimum(LAMBDA, 0.86), 3)
    open_probe = put(4, range(30), "-40.00")
    in_psi = Column("MAP [kPa]", MAP / PSI)
    pounds = Column("Fuel flow [kg/h]", FUEL / 0.45359237)
    return [
        case("lambda at the sensor's end", text((*FULL, clipped)), "flag", "at its end"),
        case("a probe that is open at first", text(change=open_probe), "flag", "leaps"),
        case("fuel over air called lambda", text((*FULL, Column("Lambda", 1.0 / LAMBDA, 3))),
             "flag", "its inverse"),
        case("pounds called kilograms", text((*FULL, mixture, pounds, air)), "flag", "is that the"),
        case("thousandths called seconds", text((Column("Time [s]", 1e3 * TIME.values), *FULL[1:])),
             "flag", "unit of the times"),
        case("psi called kPa", text((*THREE, in_psi), above=weather), "ask", "reference"),
    ]  # fmt: skip


SHEETS = [*pressures(), *tongues(), *spreadsheets(), *unloaded(), *headings(), *tables(),
          *failing()]  # fmt: skip
