"""Logs whose headings contradict their readings, and sound ones beside them; see `log_generator`.

What a compressor, an engine and its fuel can do together tells a unit where one channel alone does
not: boost that tops out at 13 kPa, a charge hotter than no cooler at all would leave it.
"""

import numpy as np

from log_generator import (
    ABSOLUTE,
    BARO,
    EGT,
    FUEL,
    FULL,
    IAT,
    INHG,
    LBFT,
    MAP,
    OUT,
    OUT_T,
    POWER,
    PSI,
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
BAROMETER = "Barometer: 98 kPa\n"
WEATHER = "Barometer: 98 kPa, Air temp: 25 C\n"
GAUGE = (MAP - BARO) / PSI  # psi


def pressures() -> list[Case]:
    """Units and footings of pressures that are mixed up, and sound ones."""
    unit, footing = "plenum_pressure.unit", "plenum_pressure.reference"
    wrong = {
        "boost in kPa that is psi": (Column("Boost [kPa]", GAUGE), unit),
        "boost in psi that is bar": (Column("Boost [psi]", (MAP - BARO) / 100, 3), unit),
        "boost in psi that is kPa": (Column("Boost [psi]", MAP - BARO), footing),
        "boost in bar that is psi": (Column("Boost [bar]", GAUGE), footing),
        "boost in kPa that is mbar": (Column("Boost [kPa]", (MAP - BARO) * 10, 1), footing),
        "manifold in kPa that is psi": (Column("Manifold pressure [kPa]", MAP / PSI), unit),
        "manifold in bar, gauge or not": (Column("Manifold pressure [bar]", MAP / 100, 4), footing),
        "manifold in psi that is kPa": (Column("Manifold pressure [psi]", MAP - BARO), unit),
        "manifold in bar that is psi": (Column("Manifold pressure [bar]", GAUGE), unit),
    }
    cases = [
        case(name, text((*THREE, column), above=BAROMETER), "ask", say)
        for name, (column, say) in wrong.items()
    ]
    mercury = text((*THREE, Column("MAP [inHg abs]", MAP / PSI)))
    cases.append(case("inHg that are psi", mercury, "flag", "below the barometer"))
    pounds = text((*THREE, Column("MAP [psia]", MAP / INHG)))
    cases.append(case("psi that are inHg", pounds, "flag", "plenum pressure: boost never falls"))
    low = 0.35 * (MAP - BARO)
    right = {
        "low boost": Column("Boost [kPa]", MAP - BARO),
        "boost in bar": Column("Boost [bar]", (MAP - BARO) / 100, 4),
        "manifold on a gauge": Column("Manifold pressure [psi]", GAUGE, 3),
    }
    cases += [case(f"sound: {n}", text((*THREE, c), above=BAROMETER)) for n, c in right.items()]
    beside = text((*THREE, ABSOLUTE, Column("Compressor outlet boost [kPa]", low)))
    cases.append(
        case("boost at the compressor needs a barometer", beside, "ask", "ambient.barometer")
    )
    return cases


def temperatures() -> list[Case]:
    """Fahrenheit under Celsius and the other way, judged by what compressing does."""
    outlet = Column("Compressor outlet pressure [kPa abs]", OUT)
    charge, after = "plenum temperature", "compressor outlet temperature"
    columns = {
        "charge in C that is F": (Column("Charge temp [degC]", fahrenheit(IAT)), charge),
        "outlet in C that is F": (
            Column("Compressor outlet temp [degC]", fahrenheit(OUT_T)),
            after,
        ),
        "outlet in F that is C": (Column("Compressor outlet temp [degF]", OUT_T), after),
    }
    cases = [
        case(name, text((*THREE, ABSOLUTE, column), above=WEATHER), "flag", say)
        for name, (column, say) in columns.items()
    ]
    for name, (column, say) in list(columns.items())[1:]:
        body = text((*THREE, outlet, column))
        cases.append(case(f"{name}, weather not known", body, "flag", say))
    heated = Column("Charge temp [degC]", 40.0 + 170.0 * (RPM - RPM.min()) / np.ptp(RPM))
    hotter = text((*THREE, ABSOLUTE, heated), above=WEATHER)
    hot = text((*THREE, Column("EGT [degF]", EGT + 60.0)))
    cool = text((*THREE, Column("EGT [degC]", fahrenheit(EGT) - 400.0)))
    inlet = Column("Compressor inlet temp [degC]", 38.0 + RPM / 1e4)
    cold = "Barometer: 98 kPa, Air temp: 38 F\n" + text((*FULL, inlet))
    iced = "Barometer: 98 kPa, Air temp: 35 C\n" + text(
        (*THREE, ABSOLUTE, Column("Charge temp [degC]", 14.0 + RPM / 1e3))
    )
    sound = (outlet, ABSOLUTE, Column("Compressor outlet temp [degC]", OUT_T), FULL[4])
    return [
        *cases,
        case("a charge hotter than any compressor", hotter, "flag", "than a poor compressor"),
        case("exhaust in F that is C", hot, "ask", "exhaust_temperature.unit"),
        case("exhaust in C that is F", cool, "ask", "exhaust_temperature.unit"),
        case("air in F that is C", cold, "flag", "ambient temperature"),
        case("ice in the cooler", iced, "flag", "is there ice"),
        case("sound: outlet and charge", text((*THREE, *sound), above=WEATHER)),
        case("sound: the same, weather not known", text((*THREE, *sound))),
    ]


def flows_and_shafts() -> list[Case]:
    """Flows against power, shafts that are not the compressor's, torque that is not the brake's."""
    body = text((*THREE, Column("Fuel flow [kg/h]", FUEL * 2.2046)))
    halves = "Engine,Gearbox,Brake\nSpeed,Speed,Torque\nrpm,rpm,Nm\n"
    half = text((SPEED, Column("x", RPM / 3.0), Column("y", TORQUE))).split("\n", 1)[1]
    ecu = Column("ECU torque [Nm]", TORQUE * 1.1)
    return [
        case("fuel in kg that is lb", body, "flag", "fuel flow"),
        case("the dyno's shaft", text((*FULL, Column("Shaft RPM", RPM))), "ask", "rotor_speed"),
        case("a shaft behind a gearbox", text((*FULL, Column("Shaft RPM", RPM / 2.5))), "ask",
             "rotor_speed"),
        case("sound: a compressor's shaft", text((*FULL, Column("Blower speed [rpm]", RPM * 6.0)))),
        case("the gearbox's speed", "Observed torque\n\n" + halves + half),
        case("a torque of the control unit", text((TIME, SPEED, ecu)), "ask", "torque.column"),
        case("pounds and a known power", text((TIME, SPEED, Column("Observed torque [lb ft]",
             TORQUE), Column("Observed power [kW]", POWER))), "ask", "torque.unit"),
        case("sound: pounds", text((TIME, SPEED, Column("Observed torque [lb ft]",
             TORQUE / LBFT)))),
        case("channels by a letter", text((*THREE, Column("T1 [C]", 21 + RPM / 1e3),
             Column("T2 [C]", OUT_T))), "flag", "by its letter and number"),
        case("oxygen", text((*THREE, Column("O2", 0.7 + RPM / 1e4, 3)))),
    ]  # fmt: skip


def texts() -> list[Case]:
    """Words that name a standard only to say that it was not used, wheels, and the sea's level."""
    plain = text((TIME, SPEED, Column("Torque [Nm]", TORQUE)))
    gauge = text((*THREE, Column("Boost [psig]", GAUGE, 3)))
    cases = [
        case(f"no basis: {words}", f"{words}\n{plain}", "ask", "power_basis")
        for words in (
            "Correction SAE (not applied)",
            "without SAE correction of power",
            "Power is not SAE corrected",
            "Power: no SAE correction",
        )
    ]
    wheels = "Chassis dyno, values at the rear wheels\nCorrection: SAE J1349\n" + plain
    sea = "Barometer (sea level): 30.05 inHg\n" + gauge
    return [
        *cases,
        case("basis of: No power correction", "No power correction\n" + plain),
        case("at the wheels", wheels, "flag", "at the wheels", basis="sae_j1349"),
        case("a barometer at sea level", sea, "ask", "ambient.barometer"),
    ]


def shapes() -> list[Case]:
    """Headings and cells of other habits, and readings that fail by one number."""
    heads = {
        "under bars": ("time_s", "engine_rpm", "torque_obs_nm", "map_kpa_abs", "iat_c"),
        "with points": ("Time.s", "Engine.RPM", "Obs.Torque.Nm", "MAP.kPa.abs", "IAT.degC"),
        "with numbers": ("1: Time [s]", "2: RPM", "3: Observed torque [Nm]", "4: MAP [kPa abs]",
                         "5: IAT [degC]"),
        "with groups": ("Log/Time [s]", "Engine/RPM", "Dyno/Observed torque [Nm]",
                        "Engine/MAP [kPa abs]", "Engine/IAT [degC]"),
    }  # fmt: skip
    hold = ("time", "torque", "plenum_pressure", "plenum_temperature")
    cases = [
        case(f"headings {name}", text([Column(h, c.values, c.places)
             for h, c in zip(several, FULL, strict=True)]), hold=hold)
        for name, several in heads.items()
    ]  # fmt: skip
    units = "Time,RPM,Observed Torque,MAP,IAT\ns,rpm,Nm,kPa abs,degC\n"
    tenfold = (*FULL[:2], Column("x", TORQUE * 10.0), *FULL[3:])
    rows = text(tenfold).split("\n", 1)[1]
    gauge = text((*THREE, Column("Boost [psig]", GAUGE, 3)))
    table = "Barometer,98.0,kPa\nAir temp,25,degC\n\n"
    before = Column("Intake air temp [degC]", 28.0 + RPM / 7e3)
    return [
        *cases,
        case("a row of factors", f"{units}1,1,0.1,1,1\n{rows}", "refuse", "factors"),
        case("zeros for no reading", text(change=put(4, range(3, 119, 9), "0.00")), "flag",
             "no reading?"),
        case("the lowest number for no reading", text(change=put(4, range(3, 119, 5), "-40.00")),
             "flag", "no reading?"),
        case("infinite as a compiler writes it", text(change=put(4, [5, 9], "1.#INF")), "flag",
             "missing"),
        case("a barometer in inches by hand", '28.94"Hg'.join(("Baro ", "\n")) + gauge),
        case("weather in cells", table + gauge),
        case("a probe before the compressor", text((*THREE, ABSOLUTE, before)), "flag",
             "plenum temperature"),
    ]  # fmt: skip


CONTRADICTIONS = [*pressures(), *temperatures(), *flows_and_shafts(), *texts(), *shapes()]
