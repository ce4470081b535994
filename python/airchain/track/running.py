"""A run over a distance: the motion state by state, from event to event."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ..base.extras import extra
from .gearing import LIMITED, LOCKED, SHIFTING, SLIPPING
from .motion import ENERGIES, FIRST_ENERGY, SPEED, WAY, WHEEL, Instant, Motion, Phase

__all__ = ["DOES_NOT_MOVE", "FINISHED", "NOT_FINISHED", "OUTSIDE_PULL", "Driven", "Leg", "drive"]

Array = NDArray[np.float64]
#: Events that change the state, and the end of a time that was set.
_SPIN, _GRIP, _TOP, _READY = "spin", "grip", "top", "ready for the gear above"
_LOCK, _SLIP, _ON_TIME = "lock", "slip", "on time"

FINISHED, NOT_FINISHED = "finished", "not finished"
DOES_NOT_MOVE, OUTSIDE_PULL = "does not move", "engine outside its pull"
#: A run that lasts longer is given up [s]; so is one that changes its state more often.
_LONGEST, _MOST_LEGS = 120.0, 400
#: Errors of the solver, relative and of each part of the state.
_RELATIVE = 1e-9
_ABSOLUTE = [1e-8, 1e-9, 1e-8] + [1e-3] * len(ENERGIES)


class Leg(NamedTuple):
    """A part of a run in one state.

    Attributes
    ----------
    phase : Phase
        The state.
    held : float
        Engine speed while the coupling slips or a gear is changed [rad/s].
    start, end : float
        Time [s].
    states : callable
        The state [SI] at a time [s], or at many.
    """

    phase: Phase
    held: float
    start: float
    end: float
    states: Callable[[Array], Array]


@dataclass
class Driven:
    """A run that was driven.

    Attributes
    ----------
    status : str
        Finished, or why it ended.
    legs : list of Leg
        State by state.
    last : ndarray
        State at its end [SI].
    engine_speed : float
        At its end [rad/s].
    dropped : float
        Energy of the engine's inertia that changes of gear threw away [J].
    """

    status: str
    legs: list[Leg] = field(default_factory=list)
    last: Array = field(default_factory=lambda: np.zeros(FIRST_ENERGY + len(ENERGIES)))
    engine_speed: float = 0.0
    dropped: float = 0.0


def drive(motion: Motion, distance: float) -> Driven:
    """Drive from rest over a distance.

    Parameters
    ----------
    motion : Motion
        Vehicle, engine and surface.
    distance : float
        Length of the run [m].

    Returns
    -------
    Driven
        The run, with its status.
    """
    launch, torque = motion.body.vehicle.launch_speed, motion.torque
    run = Driven(NOT_FINISHED, engine_speed=launch)
    if not (torque.low <= min(launch, motion.held) * (1.0 + 1e-9) and launch <= torque.high):
        run.status = OUTSIDE_PULL
        return run
    driver = _Driver(motion, distance, run)
    if driver.now().acceleration <= 0.0:
        run.status = DOES_NOT_MOVE
        return run
    while driver.time < _LONGEST and len(run.legs) < _MOST_LEGS:
        which = driver.leg()
        if which in (FINISHED, OUTSIDE_PULL):
            run.status = which
            break
        driver.after(which)
    return run


class _Driver:
    """Who drives: the state of the vehicle, and what follows each event."""

    def __init__(self, motion: Motion, distance: float, run: Driven) -> None:
        self.motion, self.distance, self.run = motion, distance, run
        self.time, self.until = 0.0, _LONGEST
        self.held = run.engine_speed
        self.phase = Phase(SLIPPING, 1, spinning=False)
        self._settle()

    def now(self) -> Instant:
        """What happens at this instant."""
        speed, wheel = float(self.run.last[SPEED]), float(self.run.last[WHEEL])
        return self.motion.instant(self.phase, self.held, speed, wheel)

    def leg(self) -> str:
        """Drive on to the next event, and say which it is."""
        names, events = zip(*self._events().items(), strict=True)
        motion, phase, held = self.motion, self.phase, self.held
        solved = extra("scipy.integrate").solve_ivp(
            lambda _, state: motion.rates(phase, held, state), (self.time, self.until),
            self.run.last, method="DOP853", events=events, dense_output=True, rtol=_RELATIVE,
            atol=_ABSOLUTE,
        )  # fmt: skip
        hit = [name for name, times in zip(names, solved.t_events, strict=True) if len(times)]
        end = float(solved.t[-1])
        self.run.legs.append(Leg(phase, held, self.time, end, solved.sol))
        self.time, self.run.last = end, np.array(solved.y[:, -1])
        self.run.engine_speed = self.now().engine_speed
        return hit[0] if hit else _ON_TIME

    def after(self, which: str) -> None:
        """Go over to the state that follows an event."""
        if which == _SPIN:
            self.phase = self.phase._replace(spinning=True)
        elif which == _GRIP:
            self.run.last[WHEEL] = self.run.last[SPEED] / self.motion.radius
            self.phase = self.phase._replace(spinning=False)
            if self.phase.coupling == LIMITED and self._may_change():
                self._change()
        elif which == _TOP and not self._may_change():
            self._go(LIMITED, self.held)
        elif which in (_TOP, _READY):
            self._change()
        elif self.phase.coupling == SHIFTING:
            self._engage()
        elif which == _LOCK:
            self._go(LOCKED, self.held)
        elif which == _SLIP:
            self._go(SLIPPING, self.motion.held)

    def _may_change(self) -> bool:
        """Whether there is a gear above that the road is fast enough for."""
        if self.phase.gear == self.motion.gearing.gears:
            return False
        return not self.phase.spinning or self._above(self.run.last) >= 0.0

    def _above(self, state: Array) -> float:
        """Engine speed that the road would give in the gear above, over what the clutch needs."""
        ratio = self.motion.gearing.ratio(self.phase.gear + 1)
        return ratio * float(state[SPEED]) / self.motion.radius - self.motion.held

    def _change(self) -> None:
        self.phase = self.phase._replace(gear=self.phase.gear + 1)
        self.until = self.time + self.motion.body.vehicle.shift_time
        self._go(SHIFTING, self.run.engine_speed)
        if self.until <= self.time:
            self._engage()

    def _engage(self) -> None:
        """A change of gear ends: the engine falls to the gearbox's speed, or is held above it."""
        turns = self.motion.gearing.ratio(self.phase.gear) * float(self.run.last[WHEEL])
        engine = max(turns, self.motion.held)
        inertia = self.motion.gearing.engine_inertia
        self.run.dropped += 0.5 * inertia * (self.held**2 - engine**2)
        self.run.engine_speed = engine
        self.until = _LONGEST
        self._go(LOCKED if turns >= self.motion.held else SLIPPING, engine)

    def _go(self, coupling: str, held: float) -> None:
        self.phase, self.held = self.phase._replace(coupling=coupling), held
        if coupling in (SLIPPING, LOCKED):
            self._settle()

    def _settle(self) -> None:
        """Tyres spin from here on where they cannot take what they get at once."""
        if not (self.phase.spinning or self.motion.managed):
            speed = float(self.run.last[SPEED])
            spinning = self.now().acceleration > self.motion.most(speed)
            self.phase = self.phase._replace(spinning=spinning)

    def _events(self) -> dict[str, _Event]:
        """What may end the state, by name; each passes through zero there."""
        motion, (coupling, gear, spinning) = self.motion, self.phase
        ratio, held = motion.gearing.ratio(gear), self.held
        events = {FINISHED: _Event(lambda y: y[WAY] - self.distance, 1.0)}
        if spinning:
            events[_GRIP] = _Event(lambda y: y[WHEEL] * motion.radius - y[SPEED], -1.0)
        elif not motion.managed and coupling in (SLIPPING, LOCKED):

            def beyond(y: Array) -> float:
                now = motion.instant(self.phase, held, float(y[SPEED]), float(y[WHEEL]))
                return now.acceleration - motion.most(float(y[SPEED]))

            events[_SPIN] = _Event(beyond, 1.0)
        if coupling == SLIPPING:
            events[_LOCK] = _Event(lambda y: ratio * y[WHEEL] - held, 1.0)
        if coupling == LOCKED:
            top, known = self._top(gear), motion.torque.high
            ends = _TOP if known >= top * (1.0 - 1e-9) else OUTSIDE_PULL
            events[ends] = _Event(lambda y: ratio * y[WHEEL] - min(top, known), 1.0)
            events[_SLIP] = _Event(lambda y: ratio * y[WHEEL] - motion.held, -1.0)
        if coupling == LIMITED and spinning and gear < motion.gearing.gears:
            events[_READY] = _Event(self._above, 1.0)
        return events

    def _top(self, gear: int) -> float:
        """Engine speed that ends a gear: that of the change up, or the redline [rad/s]."""
        speeds = self.motion.body.vehicle.shift_speeds
        return speeds[gear - 1] if gear <= len(speeds) else self.motion.redline


class _Event:
    """A value of the state that ends a leg where it passes through zero in a direction."""

    terminal = True

    def __init__(self, value: Callable[[Array], float], direction: float) -> None:
        self.value, self.direction = value, direction

    def __call__(self, _: float, state: Array) -> float:
        return float(self.value(state))
