"""What a pull's readings tell of engine, cooler and compressor; or why they do not."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import quoted, refusal, suggestion
from ..shown.columns import column, heading, label, peak_of, shown
from ..shown.tables import Shown, Table
from ..units.convert import from_si
from .bases import basis_words
from .readings import Readings, value_at

if TYPE_CHECKING:
    from ..chain.build import Build

__all__ = ["Derived"]

Column = NDArray[np.float64]
# Above this rate [rpm/s] slow sensors matter; lags are common practice, no source.
_SWEEP, _LAG = 50.0, "1 to 3 s"
_ORDER = (
    "air_flow",
    "volumetric_efficiency",
    "brake_specific_fuel",
    "air_per_power",
    "cooler_effectiveness",
    "rotor_speed",
    "pressure_ratio",
    "isentropic_efficiency",
    "compressor_power",
    "drive_power",
    "corrected_flow",
    "corrected_speed",
)


@dataclass(frozen=True, repr=False)
class Derived(Shown):
    """Quantities that follow from a pull's readings, under the names the chain has for them.

    ``derived["volumetric_efficiency"]`` is an SI array along the pull's rows.

    Attributes
    ----------
    pull : MeasuredPull
        The pull.
    columns : mapping
        Values by name [SI].
    how : mapping
        How each was derived.
    lacking : mapping
        Why the others could not be.
    """

    pull: Readings
    columns: Mapping[str, Column]
    how: Mapping[str, str]
    lacking: Mapping[str, str]

    def __post_init__(self) -> None:
        for name in ("columns", "how", "lacking"):
            object.__setattr__(self, name, MappingProxyType(dict(getattr(self, name))))

    def __contains__(self, name: object) -> bool:
        return name in self.columns

    def __getitem__(self, name: str) -> Column:
        if name in self.columns:
            return self.columns[name]
        if name in self.lacking:
            raise refusal(self.pull.name, name, "not derived", "be derivable", self.lacking[name])
        hint = suggestion(name, list(_ORDER)) or "one of " + ", ".join(_ORDER)
        raise refusal(self.pull.name, "derived", quoted(name), "be a derived quantity", hint)

    def get(self, name: str, unit: str | None = None) -> Column:
        """Return a quantity.

        Parameters
        ----------
        name : str
            The quantity.
        unit : str, optional
            The unit; SI without it.

        Returns
        -------
        ndarray
            The values [`unit` or SI] along the pull's rows.
        """
        values = self[name]
        return (
            values if unit is None else np.asarray(from_si(values, unit, column(name).kind, name))
        )

    def at(self, rpm: float, name: str, unit: str | None = None) -> float:
        """Return a quantity at one engine speed, drawn straight between the nearest readings.

        Parameters
        ----------
        rpm : float
            The engine speed [rpm], within the pull.
        name : str
            The quantity.
        unit : str, optional
            The unit; SI without it.

        Returns
        -------
        float
            The value [`unit` or SI].
        """
        return value_at(self.pull.name, self.pull.rpm, self.get(name, unit), rpm)

    def peak(self, name: str, unit: str | None = None) -> tuple[float, float]:
        """Return the largest value of a quantity and its engine speed.

        Parameters
        ----------
        name : str
            The quantity.
        unit : str, optional
            The unit; SI without it.

        Returns
        -------
        tuple of float
            The value [`unit` or SI] and the engine speed [rpm].
        """
        return peak_of(self.get(name, unit), self.pull.rpm)

    @property
    def verdict(self) -> str:
        """Whose quantities these are."""
        return f"What the readings of {self.pull.name} tell"

    @property
    def notes(self) -> list[str]:
        """None: the table says how each was derived, or why not."""
        return []

    def _tables(self, system: str) -> list[Table]:
        rows = []
        for name in _ORDER:
            if name in self.lacking:
                rows.append(
                    [heading(name), "", "–", "–", "–", f"not derived: {self.lacking[name]}"]
                )
                continue
            read = self.columns[name][np.isfinite(self.columns[name])]
            three = (
                [shown(name, float(f(read)), system) for f in (np.min, np.median, np.max)]
                if read.size
                else ["–"] * 3
            )
            rows.append([heading(name), label(name, system), *three, self.how[name]])
        headings = ["quantity", "unit", "lowest", "median", "highest", "how"]
        return [Table(headings, [""] * 6, rows)]

    def __reduce__(self) -> tuple[type[Derived], tuple[object, ...]]:
        return Derived, (self.pull, dict(self.columns), dict(self.how), dict(self.lacking))


def derived_from(pull: Readings, build: Build) -> Derived:
    """Return what the readings tell, see `MeasuredPull.derive`."""
    maker = _Maker(pull, build)
    for name in _ORDER:
        maker.make(name)
    return Derived(pull, maker.columns, maker.how, maker.lacking)


class _LackingError(Exception):
    """Something is not known that a quantity needs."""


@dataclass
class _Maker:
    pull: Readings
    build: Build
    columns: dict[str, Column] = field(default_factory=dict)
    how: dict[str, str] = field(default_factory=dict)
    lacking: dict[str, str] = field(default_factory=dict)

    def make(self, name: str) -> None:
        """Derive one quantity or note why not."""
        column(name)
        derivation: Callable[[], tuple[Column, str]] = getattr(self, f"_{name}")
        try:
            with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
                values, how = derivation()
        except _LackingError as lack:
            self.lacking[name] = str(lack)
            return
        # A ratio with nothing below it is no reading.
        self.columns[name] = np.where(np.isfinite(values), values, np.nan)
        self.how[name] = how

    def _need(self, *names: str) -> list[Column]:
        gone = [n for n in names if n not in self.pull]
        if gone:
            raise _LackingError("no " + " and no ".join(n.replace("_", " ") for n in gone))
        return [self.pull[n] for n in names]

    def _earlier(self, name: str) -> Column:
        if name not in self.columns:
            raise _LackingError(f"no {name.replace('_', ' ')}: {self.lacking[name]}")
        return self.columns[name]

    def _compressor(self) -> _core.Compressor:
        compressor: _core.Compressor | None = self.build.chain.compressor
        if compressor is None:
            raise _LackingError("the build has no compressor")
        return compressor

    def _humidity(self) -> Column:
        """Return water vapour per dry air; dry where it is not known."""
        vapour, barometer = self.pull.ambient.get("vapour_pressure", 0.0), self.pull.barometer
        if not np.isfinite(barometer).all():
            return np.zeros(len(self.pull))
        return np.asarray(_core.humidity_ratio(vapour, barometer)) * np.ones(len(self.pull))

    def _dry_note(self) -> str:
        known = "vapour_pressure" in self.pull.ambient
        return "" if known else "; humidity not known, air taken as dry"

    def _lag_note(self) -> str:
        """Return what the lag of thermocouples means in a sweep; empty for a steady test."""
        if "time" not in self.pull or len(self.pull) < 3:
            return ""
        time, rpm = self.pull["time"], self.pull.rpm
        rate = abs(float(rpm[-1] - rpm[0])) / max(float(np.nanmax(time) - np.nanmin(time)), 1e-9)
        if rate < _SWEEP:
            return ""
        return f"; at {rate:.0f} rpm/s a thermocouple that lags {_LAG} reads a past speed"

    def _inlet(self) -> tuple[Column, Column, str]:
        """Return pressure and temperature before the compressor, and a note on what stands in."""
        pull, notes = self.pull, []
        if "compressor_inlet_pressure" in pull:
            pressure = pull["compressor_inlet_pressure"]
        else:
            pressure = pull.barometer
            notes.append("inlet pressure taken as the barometer")
        if "compressor_inlet_temperature" in pull:
            temperature = pull["compressor_inlet_temperature"]
        else:
            known = pull.ambient.get("ambient_temperature", np.nan)
            temperature = pull.columns.get("ambient_temperature", np.full(len(pull), known))
            notes.append("inlet temperature taken as the air's")
        for values, what in ((pressure, "barometer"), (temperature, "air temperature")):
            if not np.isfinite(values).any():
                raise _LackingError(f"no compressor inlet reading and no {what}")
        note = f"; {', '.join(notes)}" if notes else ""
        return pressure, temperature, note + self._dry_note()

    def _air_flow(self) -> tuple[Column, str]:
        if "air_flow" in self.pull:
            return self.pull["air_flow"], "measured"
        if "fuel_flow" in self.pull and "lambda" in self.pull:
            ratio = self.build.chain.fuel.stoichiometric_ratio
            fuel, excess = self._need("fuel_flow", "lambda")
            return fuel * excess * ratio, f"fuel flow times lambda times {ratio:.2f}"
        raise _LackingError("no air flow, nor fuel flow with lambda")

    def _volumetric_efficiency(self) -> tuple[Column, str]:
        air = self._earlier("air_flow")
        pressure, temperature, speed = self._need(
            "plenum_pressure", "plenum_temperature", "engine_speed"
        )
        density = _core.dry_air_density(pressure, temperature, self._humidity())
        rate = self.build.chain.engine.displaced_rate(1.0) * speed
        how = "air flow over displacement filled at plenum pressure and plenum temperature"
        return air / (density * rate), f"{how}, fuel vapour left out{self._dry_note()}"

    def _brake_specific_fuel(self) -> tuple[Column, str]:
        (fuel,) = self._need("fuel_flow")
        return fuel / self._power(), f"fuel flow over power, {basis_words(self.pull.power_basis)}"

    def _air_per_power(self) -> tuple[Column, str]:
        air = self._earlier("air_flow")
        return (
            air / self._power(),
            f"air flow over power, {basis_words(self.pull.power_basis)}, net of the drive",
        )

    def _power(self) -> Column:
        (power,) = self._need("power")
        return np.where(power > 0.0, power, np.nan)

    def _cooler_effectiveness(self) -> tuple[Column, str]:
        if self.build.chain.compressor is None:
            raise _LackingError("the build has no compressor")
        hot, charge = self._need("compressor_outlet_temperature", "plenum_temperature")
        ambient = self.pull.ambient.get("ambient_temperature", np.nan)
        coolant = self.build.chain.cooler.coolant(ambient)
        if not np.isfinite(coolant):
            raise _LackingError("no air temperature for a cooler in the air stream")
        how = f"charge side, coolant at {coolant - 273.15:.0f} degC as in the build"
        how += self._lag_note()
        return (hot - charge) / np.where(hot > coolant, hot - coolant, np.nan), how

    def _rotor_speed(self) -> tuple[Column, str]:
        self._compressor()
        if "rotor_speed" in self.pull:
            return self.pull["rotor_speed"], "measured"
        ratio = self.build.chain.drive.speed_ratio
        how = f"engine speed times {ratio:.4g} of the build; belt slip does not show"
        return self.pull["engine_speed"] * ratio, how

    def _pressure_ratio(self) -> tuple[Column, str]:
        self._compressor()
        (outlet,) = self._need("compressor_outlet_pressure")
        inlet, _, note = self._inlet()
        return outlet / inlet, f"compressor outlet over inlet pressure{note}"

    def _isentropic_efficiency(self) -> tuple[Column, str]:
        self._compressor()
        outlet, hot = self._need("compressor_outlet_pressure", "compressor_outlet_temperature")
        pressure, temperature, note = self._inlet()
        values = _core.measured_efficiency(pressure, temperature, outlet, hot, self._humidity())
        return np.asarray(values), f"isentropic over measured enthalpy rise{note}{self._lag_note()}"

    def _compressor_power(self) -> tuple[Column, str]:
        self._compressor()
        (hot,) = self._need("compressor_outlet_temperature")
        pressure, temperature, note = self._inlet()
        air = self._earlier("air_flow")
        work = _core.measured_work(pressure, temperature, pressure, hot, self._humidity())
        return air * work, f"air flow times enthalpy rise{note}{self._lag_note()}"

    def _drive_power(self) -> tuple[Column, str]:
        into_gas, drive = self._earlier("compressor_power"), self.build.chain.drive
        drag = drive.drag_torque * self._earlier("rotor_speed")
        how = f"power into the gas and drag over the drive's efficiency {drive.efficiency:.3f}"
        return (into_gas + drag) / drive.efficiency, how + " of the build"

    def _corrected_flow(self) -> tuple[Column, str]:
        reference = self._compressor().map.reference
        air = self._earlier("air_flow")
        pressure, temperature, note = self._inlet()
        values = _core.corrected_flow(reference, air, pressure, temperature, self._humidity())
        return np.asarray(values), f"at the map's reference state{note}"

    def _corrected_speed(self) -> tuple[Column, str]:
        reference = self._compressor().map.reference
        speed = self._earlier("rotor_speed")
        _, temperature, note = self._inlet()
        values = _core.corrected_speed(reference, speed, temperature, self._humidity())
        return np.asarray(values), f"at the map's reference state{note}"
