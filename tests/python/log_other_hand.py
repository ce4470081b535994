"""Logs of unusual layout by another hand, written before its author had read the log reader.

One truth: an engine that is swept from 2,600 to 6,400 rpm under boost. Every log says beforehand
what its reader must do: read it right, ask, refuse, or say a word of what is amiss. `settle` grades
what was done: right, asked rightly, asked needlessly, refused, flagged, lost (a channel is neither
read nor mentioned), silent (a wrong number without a word).
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

import airchain

N = 160
T = np.linspace(0.0, 11.0, N)
RPM = 2600.0 + 3800.0 * (T / 11.0) ** 1.05
_X = (RPM - 2600.0) / 3800.0
TORQUE = 520.0 + 190.0 * _X - 95.0 * _X**3  # N m, observed
POWER = TORQUE * RPM * np.pi / 30.0 / 1e3  # kW
BARO, AIR, WET = 99.6, 23.0, 0.42  # kPa, degC, relative humidity
BOOST = 12.0 + 68.0 * _X**1.7  # kPa
MAP = BARO + BOOST
CHARGE = 31.0 + 33.0 * _X**1.4  # degC
AIRFLOW = POWER / (0.95 - 0.05 * _X)  # g/s, 9 to 9.6 hp per lb/min
MIX = 0.85 + 0.012 * np.cos(9.0 * _X)
FUEL = AIRFLOW / (MIX * 14.7)  # g/s
EGT = 760.0 + 120.0 * _X  # degC
SI = {
    "engine_speed": RPM * np.pi / 30.0, "torque": TORQUE, "power": POWER * 1e3,
    "plenum_pressure": MAP * 1e3, "plenum_temperature": CHARGE + 273.15,
    "air_flow": AIRFLOW * 1e-3, "fuel_flow": FUEL * 1e-3, "lambda": MIX,
    "exhaust_temperature": EGT + 273.15, "time": T,
}  # fmt: skip
LBFT, HP, PS, PSI, INHG = 1.3558179483, 0.745699872, 0.73549875, 6.894757293, 3.386389
CLOSE = {"plenum_temperature": 0.004, "exhaust_temperature": 0.004, "lambda": 0.012,
         "plenum_pressure": 0.008, "air_flow": 0.012, "fuel_flow": 0.02}  # fmt: skip
NOTE = f"Barometer {BARO:.1f} kPa; air temperature {AIR:.0f} C; humidity {100 * WET:.0f} %"


@dataclass(frozen=True)
class Log:
    """A log, what its reader must do, and the quantities that must then be right.

    `must` is one of ``read``, ``ask``, ``refuse``, ``say`` (read or ask, but not without a word)
    and ``read or ask``.
    """

    name: str
    body: bytes
    must: str = "read"
    holds: tuple[str, ...] = ("torque",)
    truth: dict = field(default_factory=dict)


def f(celsius: np.ndarray) -> np.ndarray:
    """degF."""
    return celsius * 1.8 + 32.0


def sheet(columns: Sequence[tuple[str, Sequence | np.ndarray, int]], sep: str = ",",
          mark: str = ".", above: str = "", below: str = "",
          rows: range = range(N)) -> str:  # fmt: skip
    """Columns as (heading, values, decimals); texts stand as they are."""
    lines = [sep.join(head for head, _, _ in columns)]
    for i in rows:
        cells = [v[i] if isinstance(v[i], str) else f"{v[i]:.{d}f}" for _, v, d in columns]
        lines.append(sep.join(c if isinstance(columns[j][1][i], str) else c.replace(".", mark)
                              for j, c in enumerate(cells)))  # fmt: skip
    return above + "\n".join(lines) + "\n" + below


def log(name: str, body: str | bytes, must: str = "read", holds: str = "torque",
        encoding: str = "utf-8", **truth: np.ndarray) -> Log:  # fmt: skip
    """A log of a text."""
    content = body.encode(encoding) if isinstance(body, str) else body
    return Log(name, content, must, tuple(holds.split()), dict(truth))


def layouts() -> list[Log]:
    """How rows, columns and marks stand."""
    obs = "Observed torque and power, no correction.\n" + NOTE + "\n"
    R, Q = ("RPM", RPM, 0), ("Torque Nm", TORQUE, 1)
    quoted = [('"Engine speed, rpm"', RPM, 0), ('"Torque, observed (Nm)"', TORQUE, 1)]
    three = "Engine speed;Torque;MAP;Charge air\nchannel 1;channel 4;channel 7;channel 9\n"
    three += "rpm;Nm;kPa abs;degC\n"
    three += sheet([("", RPM, 0), ("", TORQUE, 1), ("", MAP, 1), ("", CHARGE, 1)], ";")[4:]
    united = "Speed,Torque\n" + "\n".join(
        f"{n:.0f} rpm,{q:.1f} Nm" for n, q in zip(RPM, TORQUE, strict=True))  # fmt: skip
    big = [f'"{n:,.0f}"' for n in RPM]
    spaced = [f"{n:,.0f}".replace(",", " ") for n in RPM]
    table = "".join(
        f"{n:9.0f}{q:12.1f}{p:14.1f}\n" for n, q, p in zip(RPM, TORQUE, MAP, strict=True)
    )
    table = f"{'RPM':>9}{'Torque':>12}{'Manifold':>14}\n{'':>9}{'Nm':>12}{'kPa abs':>14}\n" + table
    chunks = [sheet([R, Q], rows=range(k, min(k + 50, N))) for k in range(0, N, 50)]
    again = "\n".join(chunks)
    two = sheet([R, Q]) + "\n\nRun 2\n" + sheet([R, ("Torque Nm", TORQUE * 1.01, 1)])
    return [
        log("plain", obs + sheet([R, Q, ("Power kW", POWER, 1)])),
        log("quoted headings with commas", obs + sheet(quoted)),
        log("a row of channels between names and units", obs + three,
            holds="torque plenum_pressure"),
        log("units in the cells", obs + united, "read or ask"),
        log("thousands in quotes", obs + sheet([("RPM", big, 0), Q])),
        log("thousands by blank", obs + sheet([("RPM", spaced, 0), Q], ";")),
        log("decimal commas and tabs", obs + sheet([R, Q], "\t", ",")),
        log("exponents", obs + sheet([("RPM", [f"{n:.4E}" for n in RPM], 0),
                                      ("Torque Nm", [f"{q:.4E}" for q in TORQUE], 0)])),
        log("fixed width", obs + table, holds="torque plenum_pressure"),
        log("heading again every fifty rows", obs + again),
        log("two runs", obs + two),
        log("newest row first", obs + sheet([("Time s", T[::-1], 2), ("RPM", RPM[::-1], 0),
                                             ("Torque Nm", TORQUE[::-1], 1)])),
        log("holes", obs + sheet([R, ("Torque Nm", ["---" if i % 17 == 3 else f"{q:.1f}"
                                                    for i, q in enumerate(TORQUE)], 0)])),
        log("cut in the last line", (obs + sheet([R, Q]))[:-4], "read"),
        log("exponent of ten in the heading", obs + sheet([("RPM x1000", RPM / 1e3, 3), Q]),
            "read or ask"),
        log("radians", obs + sheet([("Speed [rad/s]", RPM * np.pi / 30.0, 2), Q])),
        log("revolutions a second", obs + sheet([("Speed [1/s]", RPM / 60.0, 3), Q]),
            "read or ask"),
    ]  # fmt: skip


def tongues() -> list[Log]:
    """Headings in other languages."""
    seen = f"# {NOTE}\n# observed, not corrected\n"
    return [
        log("German with PS", seen + sheet([("Drehzahl [1/min]", RPM, 0),
            ("Drehmoment [Nm]", TORQUE, 1), ("Leistung [PS]", POWER / PS, 1)], ";", ","),
            holds="torque power"),
        log("French", seen + sheet([("Régime (tr/min)", RPM, 0), ("Couple (N.m)", TORQUE, 1),
            ("Puissance (kW)", POWER, 1)], ";", ","), encoding="latin-1", holds="torque power"),
        log("Italian with CV", seen + sheet([("Giri motore [giri/min]", RPM, 0),
            ("Coppia [Nm]", TORQUE, 1), ("Potenza [CV]", POWER / PS, 1)], ";", ","),
            "read or ask", "torque power"),
        log("Spanish", seen + sheet([("Régimen (rpm)", RPM, 0), ("Par motor (Nm)", TORQUE, 1),
            ("Potencia (kW)", POWER, 1)], ";", ","), "read or ask"),
        log("Swedish", seen + sheet([("Varvtal [rpm]", RPM, 0), ("Vridmoment [Nm]", TORQUE, 1),
            ("Effekt [kW]", POWER, 1)], ";", ","), "read or ask"),
        log("Polish", seen + sheet([("Obroty [obr/min]", RPM, 0), ("Moment [Nm]", TORQUE, 1),
            ("Moc [kW]", POWER, 1)], ";", ","), "read or ask"),
        log("Dutch", seen + sheet([("Toerental [rpm]", RPM, 0), ("Koppel [Nm]", TORQUE, 1),
            ("Vermogen [kW]", POWER, 1)], ";", ","), "read or ask"),
    ]  # fmt: skip


def units() -> list[Log]:
    """Units of the trade and of elsewhere."""
    seen = f"{NOTE}\nuncorrected\n"
    R, Q = ("Engine RPM", RPM, 0), ("Torque (Nm)", TORQUE, 1)

    def plus(*more: tuple[str, np.ndarray, int]) -> str:
        return seen + sheet([R, Q, *more])

    return [
        log("American", seen + sheet([R, ("TQ (ft-lbs)", TORQUE / LBFT, 1), ("HP", POWER / HP, 1),
            ("Boost (PSI)", BOOST / PSI, 2), ("IAT (F)", f(CHARGE), 0)]),
            holds="torque power plenum_pressure"),
        log("kilogram-metres", seen + sheet([R, ("Torque [kgm]", TORQUE / 9.80665, 2),
            ("Power [kW]", POWER, 1)]), "read or ask"),
        log("decanewton metres", seen + sheet([R, ("Torque [daNm]", TORQUE / 10.0, 2)]),
            "read or ask"),
        log("pound inches", seen + sheet([R, ("Torque [lb-in]", TORQUE / LBFT * 12.0, 0)]),
            "read or ask"),
        log("watts", seen + sheet([R, ("Power [W]", POWER * 1e3, 0)]), holds="power"),
        log("mercury absolute", plus(("MAP (inHg abs)", MAP / INHG, 2)), holds="plenum_pressure"),
        log("inches of water", plus(("Boost (inH2O)", BOOST / 0.249089, 1)),
            holds="plenum_pressure"),
        log("bar absolute", plus(("MAP (bar)", MAP / 100.0, 3)), "read or ask", "plenum_pressure"),
        log("hectopascal gauge", plus(("Boost [hPa]", BOOST * 10.0, 0)), holds="plenum_pressure"),
        log("kilograms a square centimetre", plus(("Boost [kg/cm2]", BOOST / 98.0665, 3)),
            "read or ask", "plenum_pressure"),
        log("air by the hour", plus(("Air mass flow [kg/h]", AIRFLOW * 3.6, 1)), holds="air_flow"),
        log("standard cubic feet", plus(("Airflow [SCFM]", AIRFLOW / 0.578, 0)),
            "read or ask", "air_flow"),
        log("fuel in pounds an hour", plus(("Fuel flow [lb/hr]", FUEL * 7.93664, 1)),
            holds="fuel_flow"),
        log("litres of fuel", plus(("Fuel flow [L/h]", FUEL * 3.6 / 0.74, 1)), "say"),
        log("air-fuel ratio", plus(("AFR", MIX * 14.7, 2)), "read or ask", "lambda"),
        log("both banks' lambda", plus(("Lambda L", MIX, 3), ("Lambda R", MIX, 3)),
            holds="lambda"),
        log("eight thermocouples, the fifth dead", plus(*(
            (f"EGT{k} (C)", EGT * 0.0 if k == 5 else EGT + 6.0 * (k - 4.5), 0)
            for k in range(1, 9))), "say", "exhaust_temperature"),
        log("barometer by row", sheet([R, ("Torque observed (Nm)", TORQUE, 1),
            ("Baro (hPa)", np.full(N, BARO * 10.0), 1), ("Ambient (C)", np.full(N, AIR), 1),
            ("RH (%)", np.full(N, 42.0), 0), ("Boost (kPa)", BOOST, 1)]),
            holds="torque plenum_pressure"),
        log("suffixes", seen + sheet([("engine_speed_rpm", RPM, 0), ("tq_nm", TORQUE, 1),
            ("map_kpaa", MAP, 1), ("iat_degc", CHARGE, 1)]), "read or ask"),
        log("capitals", seen + sheet([("ENGINE_SPEED_RPM", RPM, 0), ("TORQUE_NM", TORQUE, 1),
            ("POWER_KW", POWER, 1)])),
    ]  # fmt: skip


def footings() -> list[Log]:
    """Which standard, which column, which of two."""
    R = ("RPM", RPM, 0)
    factor = 1.037
    both = [R, ("Torque SAE (ft lb)", factor * TORQUE / LBFT, 1),
            ("Torque obs (ft lb)", TORQUE / LBFT, 1)]  # fmt: skip
    foot = f"\nBaro {BARO / INHG:.2f} inHg  Temp {f(np.array(AIR)):.0f} F  Hum 42 %\n"
    return [
        log("observed beside corrected", NOTE + "\n" + sheet(both), "read or ask"),
        log("oil, gear and run in the title", "Run 3, 4th gear, oil SAE 10W-40\n" + NOTE + "\n"
            + sheet([R, ("Torque (Nm)", TORQUE, 1)]), "ask"),
        log("weather below, observed", sheet([R, ("Observed torque (lb-ft)", TORQUE / LBFT, 1)],
            below=foot)),
        log("a factor by row", NOTE + "\n" + sheet([R, ("Corr. torque (Nm)", factor * TORQUE, 1),
            ("CF", np.full(N, factor), 3)]), "read or ask"),
        log("two torques without a word", NOTE + "\nuncorrected\n" + sheet([R,
            ("Torque 1 (Nm)", TORQUE, 1), ("Torque 2 (Nm)", 1.06 * TORQUE, 1)]), "say"),
        log("no torque unit, no power", NOTE + "\nuncorrected\n" + sheet([R,
            ("Torque", TORQUE, 1)]), "ask"),
        log("no torque unit beside kilowatts", NOTE + "\nuncorrected\n" + sheet([R,
            ("Torque", TORQUE, 1), ("Power (kW)", POWER, 1)]), "read or ask"),
    ]  # fmt: skip


def lies() -> list[Log]:
    """Headings that the data do not bear out, and sensors that fail."""
    seen = f"{NOTE}\nuncorrected\n"
    R, Q = ("RPM", RPM, 0), ("Torque (Nm)", TORQUE, 1)
    spiked, stuck = TORQUE.copy(), TORQUE.copy()
    spiked[80] = 9999.0
    stuck[70:130] = stuck[70]
    return [
        log("pound feet headed Nm, beside power", seen + sheet([R,
            ("Torque (Nm)", TORQUE / LBFT, 1), ("Power (kW)", POWER, 1)]), "say"),
        log("pound feet headed Nm, beside air and fuel", seen + sheet([R,
            ("Torque (Nm)", TORQUE / LBFT, 1), ("Air flow (g/s)", AIRFLOW, 1),
            ("Fuel flow (g/s)", FUEL, 2)]), "say"),
        log("charge in degC headed degF", seen + sheet([R, Q, ("Boost (kPa)", BOOST, 1),
            ("Charge temp (F)", CHARGE, 1)]), "say", "plenum_temperature"),
        log("charge in degF headed degC", seen + sheet([R, Q, ("Boost (kPa)", BOOST, 1),
            ("Charge temp (C)", f(CHARGE), 1)]), "say", "plenum_temperature"),
        log("gauge headed absolute", seen + sheet([R, Q, ("MAP (kPa abs)", BOOST, 1)]), "say",
            "plenum_pressure"),
        log("absolute headed gauge", seen + sheet([R, Q, ("Boost (kPa gauge)", MAP, 1)]), "say",
            "plenum_pressure"),
        log("psi headed bar", seen + sheet([R, Q, ("Boost (bar)", BOOST / PSI, 2)]), "say",
            "plenum_pressure"),
        log("one spike", seen + sheet([R, ("Torque (Nm)", spiked, 1)]), "say"),
        log("stuck for a while", seen + sheet([R, ("Torque (Nm)", stuck, 1)]), "say"),
        log("negative torque of a brake", seen + sheet([R, ("Torque (Nm)", -TORQUE, 1)]), "say"),
        log("lambda of 14", seen + sheet([R, Q, ("Lambda", MIX * 14.7, 2)]), "say", "lambda"),
        log("grams headed kilograms", seen + sheet([R, Q, ("Air flow (kg/s)", AIRFLOW, 1)]), "say",
            "air_flow"),
        log("kelvin headed degC", seen + sheet([R, Q, ("Charge temp (C)", CHARGE + 273.15, 1)]),
            "say", "plenum_temperature"),
    ]  # fmt: skip


def no_logs() -> list[Log]:
    """What is no log of a pull."""
    return [
        log("road speed alone", NOTE + "\n" + sheet([("Road speed (km/h)", RPM / 45.0, 1),
            ("Throttle (%)", np.full(N, 100.0), 0)]), "refuse"),
        log("lines of JSON", "\n".join(f'{{"rpm": {n:.0f}, "torque": {q:.1f}}}'
            for n, q in zip(RPM, TORQUE, strict=True)), "refuse"),
        log("a packed workbook", b"PK\x03\x04\x14\x00\x06\x00" + bytes(range(256)) * 40, "refuse"),
        log("a page", "<html><table><tr><td>RPM</td><td>Torque</td></tr></table></html>", "refuse"),
    ]  # fmt: skip


LOGS = [*layouts(), *tongues(), *units(), *footings(), *lies(), *no_logs()]
GOOD = ("right", "asked rightly", "refused rightly", "said")


def settle(one: Log, folder: Path, check: Callable = airchain.read_pulls) -> tuple[str, str]:
    """Return the grade of a log and what was said."""
    path = folder / "pull.txt"
    path.write_bytes(one.body)
    try:
        read = check(path)
    except airchain.InputError as error:
        words = str(error)[:300]
        if one.must == "refuse":
            return "refused rightly", words
        return ("asked needlessly" if one.must == "read" else "asked rightly"), words
    if one.must == "refuse":
        return "silent", "it was read"
    pulls = list(read)
    pull = max(pulls, key=len)
    words = " ".join(str(x) for p in pulls for x in p.findings) + " " + str(read)
    wrong = [name for name in one.holds if name in pull and not _same(pull, name)]
    lost = [name for name in one.holds if name not in pull]
    told = any(pull.findings) or bool(getattr(read, "findings", ()))
    if not wrong and not lost:
        return ("right" if one.must != "ask" else "silent"), words
    if told:
        return ("said" if one.must == "say" else "flagged"), words
    return ("silent" if wrong else "lost"), f"{wrong} {lost} {words}"


def _same(pull: airchain.MeasuredPull, name: str) -> bool:
    at = np.linspace(2800.0, 6200.0, 30)
    want = np.interp(at, RPM, SI[name])
    order = np.argsort(pull.rpm)
    got = np.interp(at, pull.rpm[order], pull[name][order])
    return bool(np.nanmax(np.abs(got / want - 1.0)) < CLOSE.get(name, 0.006))
