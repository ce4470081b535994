"""Total pressures of readings that were taken through a tap in a pipe's wall."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import quoted, refusal, suggestion
from ..units.convert import formatted, to_si
from .finding import Finding

if TYPE_CHECKING:
    from .measured import MeasuredPull

#: Pressures that may come from a wall, and the thermometer beside each.
_THERMOMETERS = {
    "plenum_pressure": "plenum_temperature",
    "compressor_outlet_pressure": "compressor_outlet_temperature",
    "compressor_inlet_pressure": "compressor_inlet_temperature",
}
_LEAST, _MOST = 0.01, 0.5  # [m]
_FASTEST = 0.8  # Mach number beyond which no pipe of an engine is run


def total_pressure(
    static: NDArray[np.float64],
    flow: NDArray[np.float64],
    temperature: NDArray[np.float64],
    diameter: float,
) -> NDArray[np.float64]:
    """Return the pressure of the gas brought to rest without loss.

    Of a perfect gas in one dimension, from its static pressure p, mass flow W and total temperature
    T0 in a pipe of area A [any text on gas dynamics]:

        x = W^2 R T0/(gamma A^2 p^2) = M^2 (1 + (gamma - 1)/2 M^2)
        p0 = p (1 + (gamma - 1)/2 M^2)^(gamma/(gamma - 1))

    Parameters
    ----------
    static, flow, temperature : ndarray
        [Pa], of dry air [kg/s], total [K].
    diameter : float
        Inner diameter of the pipe at the tap [m].

    Returns
    -------
    ndarray
        Total pressure [Pa]; NaN where the Mach number would pass 0.8.
    """
    reference = _core.ReferenceState()
    gamma, constant = reference.gamma, reference.gas_constant
    area = np.pi / 4 * diameter**2
    with np.errstate(invalid="ignore"):
        x = (flow / (area * static)) ** 2 * constant * temperature / gamma
        rise = 0.5 * (np.sqrt(1 + 2 * (gamma - 1) * x) - 1)  # (gamma - 1)/2 M^2
        total = static * (1 + rise) ** (gamma / (gamma - 1))
        slow = 2 * rise / (gamma - 1) < _FASTEST**2
    return np.where(slow, total, np.nan)


def at_rest(pull: MeasuredPull, taps: Mapping[str, str]) -> MeasuredPull:
    """Return the pull with total pressures, see `MeasuredPull.from_wall_taps`."""
    columns, words = {}, []
    for name, typed in taps.items():
        if name not in _THERMOMETERS:
            hint = suggestion(name, list(_THERMOMETERS)) or "one of " + ", ".join(_THERMOMETERS)
            raise refusal(pull.name, "taps", quoted(name), "name a pressure of a pipe", hint)
        diameter = to_si(typed, "length", where=pull.name, field=f"taps.{name}")
        if not _LEAST <= diameter <= _MOST:
            rule = "be an inner diameter between 10 mm and 0.5 m"
            raise refusal(pull.name, f"taps.{name}", quoted(typed), rule)
        needed = (name, "air_flow", _THERMOMETERS[name])
        lacking = [one for one in needed if one not in pull.names]
        if lacking:
            rule = "come with air flow and the temperature beside it"
            hint = f"it has no {', '.join(lacking)}"
            raise refusal(pull.name, f"taps.{name}", quoted(typed), rule, hint)
        static = pull[name]
        total = total_pressure(static, pull["air_flow"], pull[_THERMOMETERS[name]], diameter)
        rise = total / static - 1
        if np.isnan(total[~np.isnan(static * pull["air_flow"])]).any():
            rule = "be wide enough for the air flow at less than Mach 0.8"
            raise refusal(pull.name, f"taps.{name}", quoted(typed), rule, "is it the inner one?")
        columns[name] = total
        words.append(
            f"{name} was read in the wall of a pipe of {formatted(diameter, 'length')}; at rest it "
            f"is up to {100 * float(np.nanmax(rise)):.1f} % higher"
        )
    findings = tuple(Finding("wall taps", one) for one in words)
    return pull.with_columns(**columns).replace(findings=(*pull.findings, *findings))
