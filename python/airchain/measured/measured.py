"""One measured pull, and all that can be done to it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike

from ..base.errors import quoted, refusal
from ..units.text import UnitRefusedError, factor_of
from . import correct, plots, smooth
from . import taps as taps_in_walls
from ._measured_checks import checked_rounding, weather
from .derive import Derived, derived_from
from .quantities import QUANTITIES, quantity
from .readings import Readings

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from ..chain.build import Build

__all__ = ["MeasuredPull"]


class MeasuredPull(Readings):
    """A pull that was measured on a dyno: its readings, its weather, and what was noticed.

    `airchain.read_pulls` reads one from a log, and `of` makes one of arrays. ``pull["torque"]`` is
    an array in SI along the rows. ``pull.get("torque", "lb ft")`` is the same in a unit, and
    ``pull.at(5500, "torque", "lb ft")`` one value. Where only one of power and torque was measured
    the other follows from it. ``pull["boost"]`` is plenum pressure less the barometer.

    ``plenum_pressure`` is the absolute pressure in the plenum. ``plenum_temperature`` is what a
    thermometer in the plenum reads, before fuel evaporates; the charge temperature of computed
    pulls is the one after it has.

    Attributes
    ----------
    name : str
        What the pull is called.
    columns : mapping
        Quantities by name [SI], pressures absolute; in order of time or of rising engine speed.
    power_basis : str
        ``"observed"``, or the standard that torque and power are already corrected by.
    ambient : mapping
        ``barometer`` [Pa], ``ambient_temperature`` [K] and ``vapour_pressure`` [Pa], as far as
        they are known. A ``relative_humidity`` [dimensionless, 0 to 1] that is given becomes the
        vapour pressure at the air temperature.
    source : str
        The file it came from.
    fingerprint : str
        SHA-256 of the file and of how it was read.
    lines : ndarray of int
        Line of the file that each row came from, dimensionless; empty without a file.
    findings : tuple of Finding
        What was noticed.
    rounding : mapping
        By quantity the step that its readings are rounded to [SI], where that is known.
    """

    @classmethod
    def of(
        cls,
        name: str,
        columns: Mapping[str, ArrayLike],
        ambient: Mapping[str, float | str] | None = None,
        power_basis: str = "observed",
        units: Mapping[str, str] | None = None,
        rounding: Mapping[str, float | str] | None = None,
    ) -> MeasuredPull:
        """Return a pull from arrays.

        Parameters
        ----------
        name : str
            What the pull is called.
        columns : mapping of str to array_like
            Quantities by name [SI, or the unit that `units` gives]; pressures are absolute.
        ambient : mapping, optional
            ``barometer`` [Pa], ``ambient_temperature`` [K] and ``relative_humidity``
            [dimensionless, 0 to 1] or ``vapour_pressure`` [Pa]; or texts with their unit, such as
            ``{"barometer": "29.6 inHg"}``.
        power_basis : str
            ``"observed"``, or the standard torque and power are already corrected by.
        units : mapping of str to str, optional
            Units of columns that are not in SI, such as ``{"torque": "lb ft"}``.
        rounding : mapping, optional
            The step that the readings of a column are rounded to [SI], or a text with its unit,
            such as ``{"plenum_pressure": "1 psi"}``.

        Returns
        -------
        MeasuredPull
            The pull.

        Raises
        ------
        InputError
            A column is unknown, uneven, infinite or in a unit of another kind.
        """
        values = {key: np.array(value, dtype=float) for key, value in columns.items()}
        for key, unit in (units or {}).items():
            kind = quantity(key, name).kind
            if key not in values:
                raise refusal(name, "units", quoted(key), "name a column that is given")
            try:
                factor = factor_of(unit, kind)
            except UnitRefusedError as problem:
                rule = problem.rule or f"be a unit of {QUANTITIES[key].words}"
                raise refusal(name, f"units.{key}", quoted(unit), rule, problem.hint) from None
            values[key] = (values[key] + factor.offset) * factor.scale
        known, steps = weather(name, ambient or {}), checked_rounding(name, rounding or {})
        return cls(name, values, power_basis, known, rounding=steps)

    def observed(self) -> MeasuredPull:
        """Return the pull with torque and power as they were observed.

        Returns
        -------
        MeasuredPull
            The pull; one that is corrected is taken back by its own weather.
        """
        return correct.observed(self)

    def corrected(self, standard: str, induction: str = "mechanical") -> MeasuredPull:
        """Return the pull with torque and power as they would be in a standard's weather.

        Torque is scaled as power is, and boost stays as it was. Where the weather lies outside the
        standard's range the figure is given all the same, and a finding says so. A pull that is
        corrected by another standard is first taken back to what was observed.

        Parameters
        ----------
        standard : str
            ``"sae_j1349"``, ``"std_29_92"``, ``"iso_1585"``, or ``"observed"``.
        induction : str
            ``"aspirated"``, ``"mechanical"`` (a compressor driven from the crank, boost not
            regulated: ambient pressure passes through, so the naturally aspirated form holds) or
            ``"held_boost"`` (a control holds boost: no standard here applies).

        Returns
        -------
        MeasuredPull
            The corrected pull. An `InputError` says where the weather is not known, or where the
            standard does not apply to the induction.
        """
        return correct.corrected(self, standard, induction)

    def weather_normalised(self, build: Build, to: str = "sae_j1349") -> MeasuredPull:
        """Return the pull as a build of the engine carries it to a standard's weather.

        The build is solved in the measured weather and in the standard's, at the pull's speeds.
        Observed power is scaled by the ratio of both. A standard's formula knows nothing of the
        compressor, the cooler and the drive, while this does. It is as good as the build.

        Parameters
        ----------
        build : Build
            What was measured.
        to : str
            The standard whose dry reference weather is taken.

        Returns
        -------
        MeasuredPull
            The pull, its basis named. Rows that the chain cannot solve are left out and listed.
            An `InputError` says where the weather is not known, or where no row can be solved.
        """
        return correct.weather_normalised(self, build, to)

    def smoothed(self, window: str | float = "200 rpm") -> MeasuredPull:
        """Return the pull smoothed over engine speed, its rows in rising speed.

        Each reading becomes the value, at its own speed, of the straight line through the readings
        within the window, those near the middle weighing more (tricube).

        Parameters
        ----------
        window : str or float
            Whole width of the window, text with unit or a number in [rpm].

        Returns
        -------
        MeasuredPull
            The pull; its findings name the window. Readings that were missing stay missing.
        """
        return smooth.smoothed(self, window)

    def resampled(
        self, rpm: ArrayLike | None = None, window: str | float | None = None
    ) -> MeasuredPull:
        """Return the pull at chosen engine speeds.

        Parameters
        ----------
        rpm : array_like, optional
            Engine speeds [rpm]; every 100 rpm within the pull without it.
        window : str or float, optional
            Width of the window each value is drawn from, as in `smoothed` [rpm]; without it the
            step of the speeds, 100 rpm at most.

        Returns
        -------
        MeasuredPull
            The pull, in rising speed; its findings name the window. An `InputError` names a speed
            outside the pull: nothing is extrapolated.
        """
        return smooth.resampled(self, rpm, window)

    def steady(
        self,
        engine_inertia: str,
        rotor_inertia: str = "0 kg m^2",
        speed_ratio: float = 0.0,
        dyno_inertia: str = "0 kg m^2",
        rate: str | None = None,
    ) -> MeasuredPull:
        """Return a sweep test as if every speed had been held.

        Behind the brake a sweep shows less torque than the crank makes, by what speeds up the
        masses:

            T_steady = T_measured + (J_engine + J_dyno + J_rotor i^2) dw/dt

        Left out: the change of the air's own state in a sweep, such as a cold cooler.

        Parameters
        ----------
        engine_inertia, rotor_inertia, dyno_inertia : str
            Moments of inertia with unit: of what turns with the crank, of the compressor's rotor
            at its own speed, of the brake before its torque is measured.
        speed_ratio : float
            Rotor speed over crank speed [dimensionless].
        rate : str, optional
            Acceleration of the crank, such as ``"300 rpm/s"``; from the pull's times without it.

        Returns
        -------
        MeasuredPull
            The pull with torque and power of steady running; its findings name the rate. An
            `InputError` says where neither a rate nor times are there.
        """
        return smooth.steady(self, engine_inertia, rotor_inertia, speed_ratio, dyno_inertia, rate)

    def from_wall_taps(self, taps: Mapping[str, str]) -> MeasuredPull:
        """Return the pull with total pressures where taps in pipe walls read static ones.

        The chain means total pressure everywhere. A tap in a plenum or a tube that faces the flow
        reads it; a tap flush with the wall of a pipe reads less by what the speed makes up. One
        dimension, perfect gas; from air flow and the temperature beside the tap.

        Parameters
        ----------
        taps : mapping
            Inner diameter of the pipe at each tap in a wall, text with unit, by the pressure's
            name: ``{"compressor_outlet_pressure": "3.5 in"}``. Also ``"plenum_pressure"`` and
            ``"compressor_inlet_pressure"``. Pressures that are not named stay as they are.

        Returns
        -------
        MeasuredPull
            The pull; its findings say by how much each pressure rose. An `InputError` says what is
            lacking, or that the pipe is too narrow for the flow.
        """
        return taps_in_walls.at_rest(self, taps)

    def derive(self, build: Build) -> Derived:
        """Work out what the readings tell of engine, cooler and compressor.

        Pressures are taken as total where the chain means total: a wall tapping in a pipe reads
        lower by the dynamic pressure, below 1 % in a plenum but some 3 to 4 % of the absolute
        pressure where a pipe is as narrow as the demo's 3.5 in at 140 lb/min (`from_wall_taps`
        takes it to the total one). Air flow is taken as dry air.

        Parameters
        ----------
        build : Build
            What was measured: displacement, fuel, drive and map are taken from it.

        Returns
        -------
        Derived
            The quantities, and for each that is lacking the reason.
        """
        return derived_from(self, build)

    def plot(
        self,
        axes: Sequence[Axes] | None = None,
        *,
        system: str = "trade",
        title: str | None = None,
        beside: Sequence[MeasuredPull] = (),
        columns: Sequence[str] = plots.SHOWN,
    ) -> Figure:
        """Draw power and torque in one panel, other quantities in panels below.

        Both scales of the first panel begin at zero and are proportioned so that each pull's two
        curves cross at 5252 rpm, where power in hp is torque in lb ft. Curves that do not cross
        there show that power and torque of their log disagree.

        Parameters
        ----------
        axes : sequence of matplotlib.axes.Axes, optional
            Where to draw: one for power and torque, and one for each of `columns` that is drawn.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            What stands over the picture.
        beside : sequence of MeasuredPull
            Further pulls, laid over this one.
        columns : sequence of str
            Quantities below, one panel each; those that no pull holds are passed over.

        Returns
        -------
        matplotlib.figure.Figure
            The figure. An `InputError` says where no pull holds torque or power.
        """
        return plots.draw_pulls(_named((self, *beside)), axes, system, title, columns)

    def plot_map(
        self,
        build: Build,
        axes: Axes | None = None,
        *,
        system: str = "trade",
        title: str | None = None,
        beside: Sequence[MeasuredPull] = (),
    ) -> Figure:
        """Draw where the pull lies on the build's compressor map.

        Parameters
        ----------
        build : Build
            What was measured, with its map.
        axes : matplotlib.axes.Axes, optional
            Where to draw, one panel.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            What stands over the picture.
        beside : sequence of MeasuredPull
            Further pulls, laid over this one.

        Returns
        -------
        matplotlib.figure.Figure
            The figure. An `InputError` says where the build has no compressor, or why no pull
            tells its place on the map.
        """
        return plots.draw_on_map(_named((self, *beside)), build, axes, system, title)


def _named(pulls: Sequence[MeasuredPull]) -> dict[str, MeasuredPull]:
    """Return pulls by name; a name that stands twice gets a number."""
    by_name: dict[str, MeasuredPull] = {}
    for pull in pulls:
        name, number = pull.name, 2
        while name in by_name:
            name, number = f"{pull.name} ({number})", number + 1
        by_name[name] = pull
    return by_name
