"""What is said beside every run: what is left out, and cautions."""

from __future__ import annotations

__all__ = ["CAUTIONS", "LEFT_OUT"]

LEFT_OUT = (
    "Left out: the slip of gripping tyres, their warming, how a driver feels for grip, springs, "
    "lift, wind and slopes. Road and tyres decide; the friction is a range and no promise.",
    "An engine's torque is that of its pull at held speeds in the build's weather; what spins the "
    "rotor up is counted as inertia of the engine.",
)
CAUTIONS = (
    "Launching: tyres, shafts, clutches and axles that let go throw parts. The organiser's rule "
    "book, local codes and the advice of licensed people stand above every figure here. Run only "
    "on a closed course that is prepared for it, with the safety gear that its rules ask for.",
    "Tyres have a speed limit of their maker, and one that spins turns much faster than the road "
    "goes by: keep within it.",
    "Spark taken back is for seconds: it heats exhaust valves, pipes and whatever stands near. "
    "Prove each table on the dyno before it is run.",
)
