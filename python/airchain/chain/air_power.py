"""Power that a pull makes of its air, beside what the trade counts on."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

import numpy as np

from ..units.convert import to_si

if TYPE_CHECKING:
    from .pull import Pull

#: Crank power with drive power added back, that a lb/min of air makes of gasoline [hp] (common
#: practice, no source).
BAND = (9.5, 10.5)
#: Fuels with more oxygen for each carbon than this are none of what the trade counts so.
_MOST_OXYGEN = 0.1


def air_power(pull: Pull) -> Mapping[str, float] | None:
    """Return what a lb/min of air makes where a pull is strongest, and what takes of it.

    Parameters
    ----------
    pull : Pull
        The pull.

    Returns
    -------
    dict or None
        ``rpm`` [rpm], and in hp for each lb/min of air: ``made`` (crank power with drive power
        added back), ``friction``, ``pumping``, and ``heat``: what the heat into the cylinder's
        walls would have made at the same efficiency. None where no matched point makes
        power, or the fuel is no gasoline.
    """
    columns = pull.columns
    power = np.where(pull.matched, columns["power"], np.nan)
    fuel = pull.build.chain.fuel
    if not np.any(power > 0.0) or fuel.oxygen_ratio > _MOST_OXYGEN:
        return None
    top = int(np.nanargmax(power))
    at = {name: float(values[top]) for name, values in columns.items()}
    engine = pull.build.chain.engine
    rate = engine.displacement * at["engine_speed"] / (4.0 * np.pi)
    hp = to_si("1 hp", "power", field="power") / to_si("1 lb/min", "mass_flow", field="air_flow")
    each = 1.0 / (at["air_flow"] * hp)
    efficiency = at["indicated_pressure"] * rate / at["fuel_power"]
    return {
        "rpm": float(pull.rpm[top]),
        "made": (at["power"] + at["drive_power"] + at["acceleration_power"]) * each,
        "friction": at["friction_pressure"] * rate * each,
        "pumping": at["pumping_pressure"] * rate * each,
        "heat": at["wall_heat_flow"] * efficiency * each,
    }


def air_power_notes(pull: Pull) -> list[str]:
    """Say where a pull leaves the trade's band, by how much, and what takes the most.

    Parameters
    ----------
    pull : Pull
        The pull.

    Returns
    -------
    list of str
        One sentence, or none.
    """
    found = air_power(pull)
    if found is None or BAND[0] <= round(found["made"], 1) <= BAND[1]:
        return []
    low, high = BAND
    taken = {
        "friction": found["friction"],
        "pumping": found["pumping"],
        "heat into the cylinder's walls": found["heat"],
    }
    # Boost may push the pistons.
    known = {name: value for name, value in taken.items() if value >= 0.05}
    told = ", ".join(f"{name} {value:.1f}" for name, value in known.items())
    made = found["made"]
    if made < low:
        most = max(known, key=lambda name: known[name])
        far, advice = f"{low - made:.1f} less than the least", f"Look at {most} first"
    else:
        far, advice = f"{made - high:.1f} more than the most", "Check what these are made of"
    return [
        f"At {found['rpm']:,.0f} rpm each lb/min of air makes {made:.1f} hp with drive power added "
        f"back. That is {far} of the {low:g} to {high:g} that the trade counts on. Lost are in hp: "
        f"{told}. {advice}."
    ]
