"""Makes the invented logs in demo/pulls: nothing in them was measured.

The truth behind them is the Ridge Road build with a few of its figures changed, and with a dip in
volumetric efficiency that no figure of the build can give. On top come a bias per pull, noise, lag
of the slow sensors, the inertia of a sweep test, and rounding. Run once; the logs are kept.
"""

from pathlib import Path

import numpy as np

import airchain
from airchain import _core
from airchain.base.speeds import RPM

HERE = Path(__file__).resolve().parent
RATE = 320.0  # rpm/s, upwards
COAST = 650.0  # rpm/s, downwards
STEP = 0.05  # s
ENGINE_INERTIA = 0.28  # kg m^2, all that turns with the crank before the brake's cell
MOTORING = -75.0  # N m, run-down
CHARGE_LAG, LAMBDA_LAG, EXHAUST_LAG = 1.6, 0.2, 1.1  # s, time constants
WORDS = "INVENTED for the airchain demo; no such engine exists and nothing here was measured"


def truth(level: str, air: _core.Ambient) -> _core.Chain:
    """The chain that the logs come from: like Ridge Road, but not the same."""
    build = airchain.load(HERE / "ridge_road.toml").level(level)
    chain = build.chain
    compressor = chain.compressor.replace(flow_scale=1.02, head_scale=0.975, efficiency_scale=0.98)
    cooler = chain.cooler.replace(effectiveness=0.95 * chain.cooler.effectiveness)
    combustion = chain.combustion.replace(work_scale=chain.combustion.work_scale * 0.985)
    return chain.replace(compressor=compressor, cooler=cooler, combustion=combustion, ambient=air)


def dip(rpm: np.ndarray) -> np.ndarray:
    """Structural deviation: a resonance of the air box, which the build does not have."""
    return 1.0 - 0.022 * np.exp(-(((rpm - 4550.0) / 260.0) ** 2))


def lagged(values: np.ndarray, time_constant: float) -> np.ndarray:
    """A first-order sensor's reading."""
    share = 1.0 - np.exp(-STEP / time_constant)
    read = np.empty_like(values)
    read[0] = values[0]
    for i in range(1, values.size):
        read[i] = read[i - 1] + share * (values[i] - read[i - 1])
    return read


def sweep(level: str, air: _core.Ambient, rng: np.random.Generator, coast: bool = False) -> dict:
    """Readings of one sweep up [SI], and one down without load where asked."""
    chain = truth(level, air)
    hold = np.full(30, 2900.0)
    rise = np.arange(2900.0, 7550.0, RATE * STEP)
    rpm = np.concatenate([hold, rise])
    solved = _core.solve(chain, {"engine_speed": rpm * RPM})
    factor = dip(rpm) * (1.0 + rng.normal(0.0, 0.007))
    inertia = ENGINE_INERTIA + _core.reflected_inertia(chain.drive.inertia, chain.drive.speed_ratio)
    speeding = np.where(np.arange(rpm.size) < hold.size, 0.0, inertia * RATE * RPM)
    torque = solved["torque"] * factor - speeding
    columns = {
        "rpm": rpm + rng.normal(0.0, 4.0, rpm.size),
        "torque": torque * (1.0 + rng.normal(0.0, 0.004, rpm.size)),
        "map": solved["plenum_pressure"] * (1.0 + rng.normal(0.0, 0.0015, rpm.size)),
        "charge": lagged(solved["plenum_temperature"], CHARGE_LAG) + rng.normal(0.0, 0.3, rpm.size),
        "inlet_p": solved["compressor_inlet_pressure"] + rng.normal(0.0, 60.0, rpm.size),
        "inlet_t": solved["compressor_inlet_temperature"] + rng.normal(0.0, 0.3, rpm.size),
        "outlet_p": solved["compressor_outlet_pressure"] * (1 + rng.normal(0, 0.0015, rpm.size)),
        "outlet_t": lagged(solved["compressor_outlet_temperature"], CHARGE_LAG)
        + rng.normal(0.0, 0.4, rpm.size),
        "air": solved["air_flow"] * dip(rpm) * (1 + rng.normal(0.0, 0.01)
                                                + rng.normal(0, 0.004, rpm.size)),
        "fuel": solved["fuel_flow"] * dip(rpm) * (1 + rng.normal(0, 0.006, rpm.size)),
        "lambda": lagged(np.full(rpm.size, getattr(chain.injection, "lambda")), LAMBDA_LAG)
        + rng.normal(0, 0.006, rpm.size),
        "egt": lagged(solved["exhaust_temperature"], EXHAUST_LAG) + rng.normal(0, 2.0, rpm.size),
        "coolant": 361.0 + np.linspace(0.0, 3.0, rpm.size) + rng.normal(0.0, 0.1, rpm.size),
        "rotor": rpm * RPM * chain.drive.speed_ratio * (1 + rng.normal(0, 0.0005, rpm.size)),
    }  # fmt: skip
    return with_coast(columns, rng) if coast else columns


def with_coast(columns: dict, rng: np.random.Generator) -> dict:
    """The same with a run down at closed throttle after it."""
    rpm = np.arange(7450.0, 2900.0, -COAST * STEP)
    after = {name: np.full(rpm.size, values[-1]) for name, values in columns.items()}
    after["rpm"] = rpm + rng.normal(0.0, 4.0, rpm.size)
    after["torque"] = MOTORING + rng.normal(0.0, 2.0, rpm.size)
    after["map"] = np.full(rpm.size, 34e3) + rng.normal(0.0, 200.0, rpm.size)
    after["rotor"] = rpm / columns["rpm"][-1] * columns["rotor"][-1]
    after["fuel"] = np.full(rpm.size, 2e-4)
    return {name: np.concatenate([values, after[name]]) for name, values in columns.items()}


def tame(rng: np.random.Generator) -> bytes:
    """UTF-16, semicolons, decimal commas, metric units, mbar on a gauge."""
    air = _core.Ambient(pressure=97540.0, temperature=297.65, relative_humidity=0.46)
    c = sweep("tame", air, rng)
    power = c["torque"] * c["rpm"] * RPM
    columns = [
        np.arange(c["rpm"].size) * STEP, c["rpm"], c["torque"], power / 1e3,
        (c["map"] - air.pressure) / 100.0, c["charge"] - 273.15, c["outlet_t"] - 273.15,
        c["air"] * 3600.0, c["fuel"] * 3600.0, c["lambda"], c["egt"] - 273.15,
        c["coolant"] - 273.15,
    ]  # fmt: skip
    heads = (
        "Zeit [s];Drehzahl [1/min];Drehmoment unkorr. [Nm];Leistung unkorr. [kW];"
        "Ladedruck [mbar rel];Ladelufttemperatur [°C];Temperatur nach Verdichter [°C];"
        "Luftmasse [kg/h];Kraftstoff [kg/h];Lambda;Abgastemperatur [°C];Kühlmittel [°C]"
    )
    places = (2, 0, 1, 1, 0, 1, 1, 0, 1, 3, 0, 1)
    rows = [";".join(f"{v:.{p}f}" for v, p in zip(row, places, strict=True)).replace(".", ",")
            for row in zip(*columns, strict=True)]  # fmt: skip
    top = f"{WORDS}\r\nLuftdruck: 975,4 hPa; Umgebungstemperatur: 24,5 °C; Luftfeuchte: 46 %\r\n"
    return "\r\n".join([top + heads, *rows, ""]).encode("utf-16")


def middle(rng: np.random.Generator) -> bytes:
    """Commas, a row of units, pressures on gauges, gasoline-scale air-fuel ratio, a gap."""
    air = _core.Ambient(pressure=97340.0, temperature=299.3, relative_humidity=0.41)
    c = sweep("middle", air, rng)
    psi, fahrenheit = 6894.757, lambda t: t * 1.8 - 459.67
    columns = [
        np.arange(c["rpm"].size) * STEP, c["rpm"], c["torque"] / 1.355818,
        c["torque"] * c["rpm"] * RPM / 745.6999, (c["map"] - air.pressure) / psi,
        (c["inlet_p"] - air.pressure) / psi, fahrenheit(c["inlet_t"]),
        (c["outlet_p"] - air.pressure) / psi, fahrenheit(c["outlet_t"]), fahrenheit(c["charge"]),
        c["air"] / 0.45359237 * 60.0, c["fuel"] / 0.45359237 * 3600.0, c["lambda"] * 14.7,
        fahrenheit(c["egt"]), c["rotor"] / RPM,
    ]  # fmt: skip
    heads = (
        "Time,RPM,Obs Torque,Obs Power,Manifold Pressure,Compressor Inlet Pressure,"
        "Compressor Inlet Temp,Compressor Outlet Pressure,Compressor Outlet Temp,Charge Temp,"
        "Air Flow,Fuel Flow,AFR,EGT,Impeller Speed"
    )
    units = "s,rpm,lb-ft,hp,psig,psig,degF,psig,degF,degF,lb/min,lb/hr,,degF,rpm"
    places = (2, 0, 1, 1, 2, 2, 0, 2, 0, 0, 1, 0, 2, 0, 0)
    rows = [",".join(f"{v:.{p}f}" for v, p in zip(row, places, strict=True))
            for row in zip(*columns, strict=True)]  # fmt: skip
    del rows[150:156]  # the logger lost a quarter of a second
    top = f"# {WORDS}\n# Barometer: 28.74 inHg, Air temp: 79.1 F, Humidity: 41 %\n"
    return "\n".join([top + heads, units, *rows, ""]).encode()


def full(rng: np.random.Generator) -> bytes:
    """Two pulls with their run-downs in one file, tabs, Windows-1252, missing readings."""
    air = _core.Ambient(pressure=97610.0, temperature=295.9, relative_humidity=0.5)
    both = [sweep("full", air, rng, coast=True) for _ in range(2)]
    c = {name: np.concatenate([pull[name] for pull in both]) for name in both[0]}
    columns = [
        np.arange(c["rpm"].size) * STEP, c["rpm"], c["torque"] / 1.355818, c["map"] / 1e3,
        c["charge"] - 273.15, c["outlet_p"] / 1e3, c["outlet_t"] - 273.15,
        c["air"] * 1e3, c["fuel"] * 1e3, c["lambda"], c["rotor"] / RPM,
    ]  # fmt: skip
    heads = (
        "Time (s)\tEngine Speed (rpm)\tTorque observed (lb ft)\tMAP (kPa abs)\tCharge Temp (°C)\t"
        "Compressor Outlet Pressure (kPa abs)\tCompressor Outlet Temp (°C)\tAir Flow (g/s)\t"
        "Fuel Flow (g/s)\tLambda\tImpeller Speed (rpm)"
    )
    places = (2, 0, 0, 1, 1, 1, 1, 0, 1, 2, 0)
    rows = []
    for i, row in enumerate(zip(*columns, strict=True)):
        cells = [f"{v:.{p}f}" for v, p in zip(row, places, strict=True)]
        if i % 97 == 40:
            cells[9] = "---"
        rows.append("\t".join(cells))
    top = f"{WORDS}\r\nBarometer\t28.82 inHg\r\nAmbient temp\t72.9 F\r\nHumidity\t50 %\r\n\r\n"
    return "\r\n".join([top + heads, *rows, ""]).encode("windows-1252")


def main() -> None:
    rng = np.random.default_rng(20270)
    (HERE / "pulls").mkdir(exist_ok=True)
    for name, made in (("tame.csv", tame), ("middle.csv", middle), ("full.txt", full)):
        (HERE / "pulls" / name).write_bytes(made(rng))


if __name__ == "__main__":
    main()
