"""An engine whose cams, ports and pipes make its volumetric efficiency, cycle by cycle."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np

from .. import _core
from ..base.errors import quoted, refusal
from ..base.progress import Progress, relay
from ..base.speeds import RPM
from ..typed.place import Arguments, Typed
from . import _solving as solving
from . import plot_cycle
from ._arguments import changed, cylinder_from
from ._described import Described
from ._typed import frozen
from .camshaft import Cam
from .keys import FRICTION
from .parts import Cylinder, HasCylinder, cylinder_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from .events import ValveEvents
    from .points import EnginePoints
    from .trace import CycleTrace

__all__ = ["CrankEngine"]


@dataclass(frozen=True, eq=False, repr=False)
class CrankEngine(Described):
    """A four-stroke engine over crank angle, without what feeds it: cams, ports, pipes and fuel.

    One cylinder with its own intake runner and exhaust primary stands for all, without the pulses
    of the others; `airchain.cylinder.every_cylinder` solves them all, in their firing order.
    `CrankEngine.of(build)` takes the engine of a build. The engine never changes; `replace` gives
    another.

    Every value is a text with its unit, such as ``"4.125 in"``, a pint quantity, or a plain number
    in the SI unit that stands in brackets.

    Parameters
    ----------
    bore, stroke, rod_length : str or float
        Bore and stroke of the cylinder, and length of the rod between its centres [m].
    compression_ratio : float
        Volume at bottom centre over that at top centre, dimensionless.
    cylinders : int
        How many cylinders the engine has, dimensionless.
    redline : str or float
        Highest crank speed [rad/s, or text such as "7200 rpm"].
    camshaft : Cam or mapping
        The camshaft, or what `Cam` is made of.
    intake_port, exhaust_port : mapping
        Port and valve of a cylinder: ``valve_diameter`` [m], ``valves``, the flow bench's
        ``lift`` [m] and ``flow`` [m^3/s] row by row, its ``depression`` [Pa] and ``convention``
        (``"incompressible"`` or ``"compressible"``), its room's ``pressure`` [Pa] and
        ``temperature`` [K]. With ``piston_gap`` [m], the
        free way of the seated valve to the piston at top centre along its axis, and
        ``inclination`` [rad] the clearance is checked against ``least_clearance`` [m] (0.080 in
        at the intake, 0.100 in at the exhaust: common practice, no source).
    runner, primary : mapping
        Intake runner from the plenum to the valve and exhaust primary from the collector to the
        valve, ports included: ``length`` [m], ``diameter`` at the near end and ``port_diameter``
        at the valve [m], ``wall_temperature`` [K] (330 and 800 K), ``friction_factor``, ``cells``
        (one to 11 mm of the runner and to 53 mm of the primary), ``end_correction``, the length by
        which the open end acts longer over its radius, dimensionless (0.6133, a plain end).
    fuel : str or mapping
        A generic fuel's name, or ``name``, figures of a fuel's own by the names of `Fuel`,
        ``lambda`` and ``evaporated_fraction``: no more evaporates before the valve than the air
        can hold. ``place`` and ``temperature`` of the injection are allowed.
    name : str
        What tables call it.
    burn, heat_loss : mapping
        Numbers of the burn law and of the heat loss.
    humidity_ratio : float
        Water per dry air of the charge, dimensionless; 0.008 without it.
    mixture_unevenness : float
        Standard deviation of the fuel-air ratio within the charge over its mean, dimensionless;
        0.04 without it.
    firing_order, crank, throws, banks, bank_angle : sequence or str or float
        Cylinders as they fire, from 1, dimensionless; ``"even"``, ``"crossplane"`` or ``"flat"``,
        or how far the crank turns until each throw stands where the first one stood [rad];
        cylinders of each bank from the front; angle between two banks [rad].
    plenum, collectors : mapping
        ``volume`` [m^3]; ``length``, ``diameter`` and more of the pipe to the outside [m], as for
        a runner; ``runner_lengths``, ``primary_diameters`` and the like [m] and ``primaries`` by
        cylinder. In place of its pipe a plenum may have a ``throttle``. What collectors have may
        be a list with a value for each. ``secondaries`` of them, with ``pairs``, are the pipes
        between the merges of pairs of primaries and the collectors: four into two into one.
    friction_constant, friction_pressure, friction_speed, friction_speed_squared : str or float
        Numbers of the friction law [Pa, dimensionless, Pa s/m, Pa s^2/m^2]; those of `Engine`
        without them.

    Raises
    ------
    InputError
        Anything that is missing, unknown, out of range or does not fit together.

    Notes
    -----
    The arguments are the keys of a build file's ``[engine]`` and its tables, and mean the same.
    Range: see the core's classes. Left out: blow-by, crevices, cycle-to-cycle variation, fuel
    films, and, save in `every_cylinder`, whatever the other cylinders do.
    """

    bore: Typed
    stroke: Typed
    rod_length: Typed
    compression_ratio: float
    cylinders: int
    redline: Typed
    camshaft: Any
    intake_port: Typed
    exhaust_port: Typed
    runner: Typed
    primary: Typed
    fuel: Any
    name: str = "engine"
    burn: Typed = field(default_factory=dict)
    heat_loss: Typed = field(default_factory=dict)
    humidity_ratio: float | None = None
    mixture_unevenness: float | None = None
    firing_order: Typed = None
    crank: str | None = None
    throws: Typed = None
    banks: Typed = None
    bank_angle: Typed = None
    plenum: Typed = None
    collectors: Typed = None
    friction_constant: Typed = None
    friction_pressure: float | None = None
    friction_speed: Typed = None
    friction_speed_squared: Typed = None
    _cylinder: Cylinder = field(init=False, repr=False)

    def __post_init__(self) -> None:
        if isinstance(self.fuel, str):
            object.__setattr__(self, "fuel", {"name": self.fuel})
        for name, value in self.arguments.items():
            object.__setattr__(self, name, frozen(value))
        place = Arguments("CrankEngine")
        cylinder = place.whole(lambda: cylinder_from(place, self.arguments))
        object.__setattr__(self, "camshaft", cylinder.cam)
        object.__setattr__(self, "_cylinder", cylinder)

    @classmethod
    def of(cls, build: HasCylinder) -> CrankEngine:
        """Return the engine of a build file that gives cams, ports and pipes.

        Parameters
        ----------
        build : Build
            The build; drive and weather do not matter.

        Returns
        -------
        CrankEngine
            Its cylinder is the one that makes the build's volumetric efficiency.

        Raises
        ------
        InputError
            The build's volumetric efficiency is typed.
        """
        size = build.chain.engine
        friction = {name: getattr(size, name) for name in FRICTION}
        return cls(**{**cylinder_of(build).typed, **friction}, name=build.title)

    def replace(
        self, changes: Mapping[str, Typed | Cam] | None = None, **more: Typed | Cam
    ) -> CrankEngine:
        """Return the engine with some of it changed.

        Parameters
        ----------
        changes : mapping, optional
            Values by dotted path, such as ``{"camshaft.lobe_separation": "110 deg",
            "runner.length": "12 in"}``.
        **more
            Whole arguments of the class.

        Returns
        -------
        CrankEngine
            The new engine.

        Raises
        ------
        InputError
            A path that does not exist, or a value that is refused.
        """
        values = self.arguments
        for path, value in {**(changes or {}), **more}.items():
            head, _, rest = path.partition(".")
            if head not in values:
                raise refusal("replace", path, quoted(value), f"begin with {', '.join(values)}")
            values[head] = changed(values[head], rest.split(".") if rest else [], value, path)
        return CrankEngine(**values)

    def events(self) -> ValveEvents:
        """Return when the valves open and close.

        Returns
        -------
        ValveEvents
            At 0.050 in tappet lift, at the seat lift, and the lift at top centre.
        """
        from .events import ValveEvents

        return ValveEvents(self)

    def plot(
        self,
        axes: Axes | None = None,
        *,
        system: str = "trade",
        title: str | None = None,
        beside: Sequence[CrankEngine] = (),
    ) -> Figure:
        """Draw both valves' lift about top centre of gas exchange, with their events.

        Filled markers stand at 0.050 in tappet lift. Dotted, where it is known, is the lift at
        which the valve would leave the clearance that it must keep to the piston.

        Parameters
        ----------
        axes : matplotlib.axes.Axes, optional
            Where to draw, one panel.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            What stands over the picture.
        beside : sequence of CrankEngine
            Further engines, laid over this one; seven in all at most.

        Returns
        -------
        matplotlib.figure.Figure
            The figure.
        """
        return plot_cycle.draw_lifts((self, *beside), axes, system, title)

    def points(
        self,
        rpm: Typed,
        plenum_pressure: Typed,
        exhaust_pressure: Typed,
        *,
        controls: _core.CycleControls | None = None,
        threads: int = 0,
        progress: Progress | None = None,
        **more: Typed,
    ) -> EnginePoints:
        """Solve operating points, each to a cycle that repeats itself.

        Parameters
        ----------
        rpm : array_like
            Engine speeds [rpm], one or a row.
        plenum_pressure, exhaust_pressure : str, float or sequence
            Absolute, at the mouth of the runner and behind the primary [Pa]; one, or one a speed.
        controls : CycleControls, optional
            Step and convergence.
        threads : int
            Threads of the core, dimensionless; 0 for all processors. Results do not depend on it.
        progress : callable, optional
            Called with the numbers of points done and in all, dimensionless.
        **more
            ``plenum_temperature`` (305 K without it), ``collector_temperature`` of gas that comes
            back from behind the primary [K] (without it as hot as what leaves there);
            ``half_burned``, the crank angle after top centre at
            which half the charge has burned, or ``spark``, that before top centre at which the
            burn starts [rad].

        Returns
        -------
        EnginePoints
            One row a point.

        Raises
        ------
        InputError
            A value or combination that is refused.
        """
        from .points import EnginePoints

        given = {"rpm": rpm, "plenum_pressure": plenum_pressure}
        given |= {"exhaust_pressure": exhaust_pressure, **more}
        rows = solving.rows_of(solving.conditions(self, given))
        length = len(rows["rpm"])
        told_of = relay(progress, 0, length)
        solved = solving.solve(self, rows, controls, threads, told_of)
        return EnginePoints(self, {"point": np.arange(length)}, rows, solved)

    def curve(
        self, rpm: Typed = None, *, plenum_pressure: Typed, exhaust_pressure: Typed, **more: Any
    ) -> EnginePoints:
        """Solve a curve over engine speed.

        Parameters
        ----------
        rpm : array_like, optional
            Engine speeds [rpm]; without them 13, evenly from 25 % of redline to redline.
        plenum_pressure, exhaust_pressure : str, float or sequence
            As for `points` [Pa].
        **more
            What `points` takes besides.

        Returns
        -------
        EnginePoints
            One row a speed.

        Notes
        -----
        Below some 3500 rpm volumetric efficiency ripples with the waves in the pipes, every few
        hundred rpm: 13 points do not show it all.
        """
        if rpm is None:
            last = self.engine.speed_limit / RPM
            rpm = np.linspace(0.25 * last, last, 13)
        return self.points(rpm, plenum_pressure, exhaust_pressure, **more)

    def grid(
        self,
        axes: Mapping[str, Typed],
        *,
        controls: _core.CycleControls | None = None,
        threads: int = 0,
        progress: Progress | None = None,
    ) -> EnginePoints:
        """Solve every combination of some conditions.

        Parameters
        ----------
        axes : mapping
            Values of the arguments of `points`; a row makes an axis, one value holds everywhere.
        controls : CycleControls, optional
            Step and convergence.
        threads : int
            Threads of the core, dimensionless; 0 for all processors.
        progress : callable, optional
            Called with the numbers of points done and in all, dimensionless.

        Returns
        -------
        EnginePoints
            Columns of the shape of the axes, in their order.
        """
        from .points import EnginePoints

        rows, coordinates = solving.grid_of(solving.conditions(self, axes), list(axes))
        told_of = relay(progress, 0, int(np.size(rows["rpm"])))
        solved = solving.solve(self, rows, controls, threads, told_of)
        return EnginePoints(self, coordinates, rows, solved)

    def trace(
        self, rpm: float, plenum_pressure: Typed, exhaust_pressure: Typed, *,
        controls: _core.CycleControls | None = None,
        **more: Any,
    ) -> CycleTrace:  # fmt: skip
        """Solve one point and keep its cycle over crank angle.

        Parameters
        ----------
        rpm : float
            Engine speed [rpm].
        plenum_pressure, exhaust_pressure : str or float
            As for `points` [Pa].
        controls : CycleControls, optional
            Step and convergence.
        **more
            What `points` takes of temperatures and phasing.

        Returns
        -------
        CycleTrace
            The cycle.
        """
        from .trace import CycleTrace

        point = self.points(rpm, plenum_pressure, exhaust_pressure, controls=controls, **more)
        setup, columns = solving.core_points(self, point.conditions)
        where = _core.CyclePoint(**{n: float(v[0]) for n, v in columns.items()})
        rows = _core.trace_cycle(setup, where, controls or _core.CycleControls())[1]
        return CycleTrace(point, rows)
