"""Faults of the engine: what each changes in the chain, and where it shows in a log.

Sizes are what a dyno room meets, from worth a word to as bad as it gets (common practice, no
source).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..chain.factors import Factor, factored
from .forms import Columns, Form, InChain, as_torque, climbing, from_place, whole
from .scene import Scene

Array = NDArray[np.float64]
_DEGREE = np.pi / 180.0
#: Above the plenum's own pressure by this a leak blows [Pa].
_ANY_BOOST = 1.0
#: Exhaust temperature of a cylinder that turns without burning [K].
_DEAD = 550.0
_GAUGES = ("plenum_pressure", "compressor_outlet_pressure", "compressor_inlet_pressure")


def floating_valves() -> Sequence[Form]:
    """The engine fills less towards the top; with the late valves goes some of the compression."""

    def floats(share_of_work: float, scene: Scene, size: float) -> _core.Chain:
        factors = [Factor("volumetric_efficiency", 1.0 - size),
                   Factor("indicated_efficiency", 1.0 - share_of_work * size)]  # fmt: skip
        return factored(scene.chain, factors)

    profiles = [from_place(onset) for onset in (0.5, 0.6, 0.7, 0.8, 0.9)]
    return [InChain("share", 0.04, 0.5, partial(floats, work), profile)
            for profile in profiles for work in (0.0, 0.4)]  # fmt: skip


def boost_leak() -> Sequence[Form]:
    """A hole between compressor and engine, which passes more the higher the pressure is.

    It is a bypass that opens at any boost. An air meter at the inlet counts what escapes.
    """

    def leaks(scene: Scene, size: float) -> _core.Chain:
        hole = _core.Bypass(opens_at=_ANY_BOOST, effective_area=size)
        return scene.chain.replace(bypass=hole)

    def metered_at_the_inlet(scene: Scene, columns: Columns, _size: Array) -> Columns:
        vapour = scene.healthy["compressor_flow"] / scene.healthy["air_flow"]
        return {**columns, "air_flow": columns["compressor_flow"] / vapour}

    def tight(scene: Scene) -> bool:
        """A bypass that opens in the pull would hide a leak."""
        opens = scene.ambient_pressure + scene.chain.bypass.opens_at if scene.boosted else 0.0
        return scene.boosted and bool(np.nanmax(scene.healthy["plenum_pressure"]) < opens)

    return [InChain("hole", 2.5e-5, 1.5e-3, leaks, read=metered_at_the_inlet, fits=tight),
            InChain("hole", 2.5e-5, 1.5e-3, leaks, fits=tight)]  # fmt: skip


def belt_slip() -> Sequence[Form]:
    """The compressor turns slower than its drive says: alike, with speed, with the torque that the
    belt carries, or from a load on.
    """

    def slips(scene: Scene, size: float) -> _core.Chain:
        drive = scene.chain.drive
        return scene.chain.replace(drive=drive.replace(drive_ratio=drive.drive_ratio * (1 - size)))

    def belted(scene: Scene) -> bool:
        return scene.boosted and scene.belted

    profiles = (whole, climbing(1.0), climbing(2.0), as_torque, from_place(0.3), from_place(0.6))
    return [InChain("share", 0.005, 0.2, slips, profile, fits=belted) for profile in profiles]


def choked_inlet() -> Sequence[Form]:
    """A dirty filter or a collapsed hose: a further pressure drop with the square of the flow."""

    def chokes(scene: Scene, size: float) -> _core.Chain:
        inlet, ambient = scene.chain.inlet, scene.chain.ambient
        density = ambient.pressure / (287.05 * ambient.temperature)
        flow = float(np.nanmax(scene.healthy["air_flow"]))
        further = 2.0 * density * inlet.area**2 * size / flow**2
        return scene.chain.replace(
            inlet=inlet.replace(loss_coefficient=inlet.loss_coefficient + further)
        )

    return [InChain("pressure", 800.0, 25e3, chokes)]


def weak_cooler() -> Sequence[Form]:
    """Fouled, with more of a pressure loss or without; its coolant warm, or warming by the pull."""

    def fouled(loss: float, scene: Scene, size: float) -> _core.Chain:
        chain = factored(scene.chain, [Factor("cooler_effectiveness", 1.0 - size)])
        cooler = chain.cooler
        grown = cooler.loss_coefficient * (1.0 + loss * size) + loss * size
        return chain.replace(cooler=cooler.replace(loss_coefficient=grown))

    def warm(scene: Scene, size: float) -> _core.Chain:
        cooler = scene.chain.cooler
        name = "coolant_rise" if cooler.ambient_cooled else "coolant_temperature"
        return scene.chain.replace(cooler=cooler.replace(**{name: getattr(cooler, name) + size}))

    def cooled(scene: Scene) -> bool:
        return scene.boosted and scene.chain.cooler.effectiveness > 0.0

    return [
        *(InChain("share", 0.05, 0.95, partial(fouled, loss), fits=cooled) for loss in (0.0, 3.0)),
        *(InChain("temperature", 4.0, 60.0, warm, p, fits=cooled) for p in (whole, climbing(1.0))),
    ]


def wrong_barometer() -> Sequence[Form]:
    """The air's true pressure over that written down; gauges had the wrong one added."""

    def other(scene: Scene, size: float) -> _core.Chain:
        ambient = scene.chain.ambient
        return scene.chain.replace(ambient=ambient.replace(pressure=ambient.pressure + size))

    def gauges(scene: Scene, columns: Columns, size: Array) -> Columns:
        return {n: v - size if n in _GAUGES else v for n, v in columns.items()}

    return [form for sign in (1.0, -1.0) for form in (
        InChain("pressure", sign * 400.0, sign * 9e3, other),
        InChain("pressure", sign * 400.0, sign * 9e3, other, read=gauges),
    )]  # fmt: skip


def late_spark() -> Sequence[Form]:
    """Burning comes later by an angle, at all speeds or more and more up the pull."""

    def late(scene: Scene, size: float) -> _core.Chain:
        combustion = scene.chain.combustion
        return scene.chain.replace(combustion=combustion.replace(phasing=combustion.phasing + size))

    return [InChain("angle", 4.0 * _DEGREE, 25.0 * _DEGREE, late, p)
            for p in (whole, climbing(1.0))]  # fmt: skip


def wrong_mixture() -> Sequence[Form]:
    """Lambda other than the tune asks for, as a share of it."""

    def mixed(scene: Scene, size: float) -> _core.Chain:
        injection = scene.chain.injection
        there = getattr(injection, "lambda") * (1.0 + size)
        return scene.chain.replace(injection=injection.replace(**{"lambda": there}))

    return [InChain("share", sign * 0.03, sign * 0.3, mixed) for sign in (1.0, -1.0)]


def dead_cylinder() -> Sequence[Form]:
    """One cylinder of several makes less or nothing, for want of spark or of fuel.

    What the lambda probe in the collector makes of unburned charge is not sure: it sees the oxygen
    (lean), or fuel and oxygen burn on it.
    """

    def weak(cylinders: int, scene: Scene, size: float) -> _core.Chain:
        return factored(scene.chain, [Factor("indicated_efficiency", 1.0 - size / cylinders)])

    def read(cylinders: int, fuel: float, lean: float, scene: Scene, columns: Columns,
             size: Array) -> Columns:  # fmt: skip
        lost = size / cylinders
        hot = scene.healthy["exhaust_temperature"]
        return {
            **columns,
            "exhaust_temperature": hot - lost * (hot - _DEAD),
            "fuel_flow": columns["fuel_flow"] * (1.0 - fuel * lost),
            "lambda": columns["lambda"] * (1.0 + lean * lost),
        }

    ways = ((0.0, 1.0), (0.0, 0.0), (1.0, 1.0))
    every = sorted({*range(1, 17)})
    return [
        InChain("cylinder", 0.25, 1.0, partial(weak, n), read=partial(read, n, fuel, lean),
                fits=partial(_has, n))
        for n in every if n > 1 for fuel, lean in ways
    ]  # fmt: skip


def _has(cylinders: int, scene: Scene) -> bool:
    return cylinders in scene.cylinders
