"""An engine whose cams, ports and pipes make its volumetric efficiency, cycle by cycle."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np

from .. import _core
from ..base.errors import quoted, refusal
from ..base.speeds import RPM
from . import _solving as solving
from . import assembly
from ._described import Described
from ._typed import fields_of, frozen, made, need, si, table
from .camshaft import Cam

if TYPE_CHECKING:
    from .events import ValveEvents
    from .points import EnginePoints
    from .trace import CycleTrace

__all__ = ["CrankEngine"]

_FRICTION = tuple(name for name in fields_of(_core.Engine) if name.startswith("friction_"))


@dataclass(frozen=True, eq=False, repr=False)
class CrankEngine(Described):
    """A four-stroke engine over crank angle: one cylinder with its own runner and primary.

    Cylinders are taken as equal and do not hear each other: pulses of the others in plenum and
    collector are left out, and firing order is therefore no input. Every value is a text with its
    unit, a pint quantity, or a number in SI. The engine cannot be changed; `replace` makes
    another.

    Parameters
    ----------
    bore, stroke, rod_length : str or float
        Of the cylinder, and between the rod's centres [m].
    compression_ratio : float
        Volume at bottom centre over that at top centre, dimensionless.
    cylinders : int
        How many, dimensionless.
    redline : str or float
        Highest crank speed [rad/s, or text such as "7200 rpm"].
    cam : Cam or mapping
        The camshaft, or what `Cam` is made of.
    intake, exhaust : mapping
        Port and valve of a cylinder: ``valve_diameter`` [m], ``valves``, the flow bench's
        ``lift`` [m] and ``flow`` [m^3/s] row by row, its ``depression`` [Pa] and ``convention``
        (``"incompressible"``, the default, or ``"compressible"``). With ``piston_gap`` [m], the
        free way of the seated valve to the piston at top centre along its axis, and
        ``inclination`` [rad] the clearance is checked against ``least_clearance`` [m] (0.080 in
        at the intake, 0.100 in at the exhaust: common practice, no source).
    runner, primary : mapping
        Intake runner from the plenum to the valve and exhaust primary from the collector to the
        valve, ports included: ``length`` [m], ``diameter`` at the near end and ``port_diameter``
        at the valve [m], ``wall_temperature`` [K], ``friction_factor``, ``cells``.
    fuel : str or mapping
        A generic fuel's name, or ``name`` (with ``figures``, a `Fuel`, any name), ``lambda``,
        ``evaporated_fraction``, ``vapour`` (water per dry air) and ``octane`` (research octane
        number, the fuel's own without it).
    name : str
        What tables call it.
    burn, heat_loss : mapping
        Numbers of the burn law and of the heat loss.
    friction : mapping
        Numbers of the friction law that differ from those of `Engine`.

    Raises
    ------
    InputError
        Anything that is missing, unknown, out of range or does not fit together.

    Notes
    -----
    Range: see the core's classes. Left out: blow-by, crevices, dissociation, cycle-to-cycle
    variation, fuel films, and whatever the other cylinders do.
    """

    bore: Any
    stroke: Any
    rod_length: Any
    compression_ratio: float
    cylinders: int
    redline: Any
    cam: Any
    intake: Any
    exhaust: Any
    runner: Any
    primary: Any
    fuel: Any
    name: str = "engine"
    burn: Any = field(default_factory=dict)
    heat_loss: Any = field(default_factory=dict)
    friction: Any = field(default_factory=dict)

    def __post_init__(self) -> None:
        if isinstance(self.fuel, str):
            object.__setattr__(self, "fuel", {"name": self.fuel})
        for name in self.__dataclass_fields__:
            object.__setattr__(self, name, frozen(getattr(self, name)))
        where, sizes = "CrankEngine", {n: getattr(self, n) for n in fields_of(_core.Crank)}
        crank = made(_core.Crank, sizes, where)
        if not isinstance(self.cam, Cam):
            keys = list(Cam.__dataclass_fields__)
            typed = table(self.cam, "cam", keys)
            need(typed, "cam", *keys)
            object.__setattr__(self, "cam", Cam(**typed))
        ports = {"intake": self.intake, "exhaust": self.exhaust}
        valves = {f"{n}_valve": assembly.valve(self.cam, n, given) for n, given in ports.items()}
        ways = {n: assembly.clearance(n, given) for n, given in ports.items()}
        gaps = {
            n: assembly.checked_clearance(self.cam, crank, n, way)
            for n, way in ways.items()
            if way is not None
        }
        fuel, charge, octane = assembly.mixture(self.fuel)
        laws = {
            n: made(cls, table(getattr(self, n), n, fields_of(cls)), n)
            for n, cls in (("burn", _core.Burn), ("heat_loss", _core.HeatLoss))
        }
        pipes = {
            "intake": assembly.pipe(self.runner, "runner"),
            "exhaust": assembly.pipe(
                self.primary, "primary", wall_temperature=assembly.PRIMARY_WALL
            ),
        }
        setup = assembly.setup(
            crank=crank, mixture=charge, octane=octane, **valves, **pipes, **laws
        )
        for name, value in (
            ("setup", setup),
            ("clearances", gaps),
            ("ways", ways),
            ("fuel_name", fuel),
        ):
            object.__setattr__(self, f"_{name}", value)
        object.__setattr__(self, "_engine", self._size(crank))

    def _size(self, crank: Any) -> Any:
        cylinders = assembly.whole(self.cylinders, "CrankEngine", "cylinders", 1, 24)
        values = {
            "displacement": crank.displacement * cylinders,
            "stroke": crank.stroke,
            "compression_ratio": crank.compression_ratio,
            "speed_limit": si(self.redline, "speed", "CrankEngine", "redline"),
        }
        typed = table(self.friction, "friction", _FRICTION)
        return made(_core.Engine, typed, "friction", **values)

    @classmethod
    def of(cls, build: Any) -> CrankEngine:
        """Return the engine of a build file that gives cams, ports and pipes.

        Parameters
        ----------
        build : Build
            The build; drive and weather do not matter.

        Returns
        -------
        CrankEngine
            Its cylinder is the one that makes the build's volumetric efficiency.
        """
        from .of_build import arguments

        return cls(**arguments(build))

    def replace(self, changes: Mapping[str, Any] | None = None, **more: Any) -> CrankEngine:
        """Return the engine with some of it changed.

        Parameters
        ----------
        changes : mapping, optional
            Values by dotted path, such as ``{"cam.lobe_separation": "110 deg",
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
        values: dict[str, Any] = {n: getattr(self, n) for n in self.__dataclass_fields__}
        for path, value in {**(changes or {}), **more}.items():
            head, _, rest = path.partition(".")
            if head not in values:
                raise refusal("replace", path, quoted(value), f"begin with {', '.join(values)}")
            values[head] = assembly.changed(
                values[head], rest.split(".") if rest else [], value, path
            )
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

    def points(
        self,
        rpm: Any,
        plenum_pressure: Any,
        exhaust_pressure: Any,
        *,
        controls: Any = None,
        threads: int = 0,
        progress: Callable[[int, int], None] | None = None,
        **more: Any,
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
            back from behind the primary [K]; ``half_burned``, the crank angle after top centre at
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
        told_of = solving.relay(progress, 0, length)
        solved = solving.solve(self, rows, controls, threads, told_of)
        return EnginePoints(self, {"point": np.arange(length)}, rows, solved)

    def curve(
        self, plenum_pressure: Any, exhaust_pressure: Any, rpm: Any = None, **more: Any
    ) -> EnginePoints:
        """Solve a curve over engine speed.

        Parameters
        ----------
        plenum_pressure, exhaust_pressure : str, float or sequence
            As for `points` [Pa].
        rpm : array_like, optional
            Engine speeds [rpm]; without them 13, evenly from 25 % of redline to redline.
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
        axes: Mapping[str, Any],
        *,
        controls: Any = None,
        threads: int = 0,
        progress: Callable[[int, int], None] | None = None,
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
        told_of = solving.relay(progress, 0, int(np.size(rows["rpm"])))
        solved = solving.solve(self, rows, controls, threads, told_of)
        return EnginePoints(self, coordinates, rows, solved)

    def trace(
        self, rpm: float, plenum_pressure: Any, exhaust_pressure: Any, *, controls: Any = None,
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
