"""What is always said of a calibration."""

from __future__ import annotations

SPARK = (
    "Spark is given as the angle at which half the charge has burned, as the build's combustion "
    "has it. The spark angle that puts it there is found on the engine. Torque left is what the "
    "level's own best phasing would add."
)
CAM_SPARK = (
    "The calibration fixes the angle after top centre at which half has burned. Ignition is "
    "computed from it: the start of the burn law, before top centre. A real spark comes earlier by "
    "the delay of its flame, so the phasing is what you must find again on the engine. The knock "
    "margin is the least along the level, an estimate of the worst cylinder. Torque left is what "
    "the level's own best phasing would add; knock forbids it where the margin is smaller than the "
    "way there."
)
NOTES = (
    "This is a starting point from a model, not a tune. Start rich and retarded, listen for knock, "
    "and read plugs and each cylinder's exhaust temperature before the next level.",
    "Lambda and spark hold for full throttle. Below it economy, driving and emissions ask for "
    "their own, and the law may too.",
    "Cranking, warm-up, transients and idle are left out. The tables are those of the mean "
    "cylinder.",
)
SPARK_CELLS = (
    "Knock margin and ignition are computed at every cell, whatever was run there. Crank-resolved "
    "cycles stand at nodes at most 1000 rpm and 5.8 psi apart, and straight lines between them."
)
WARMER = (
    "In this model knock asks half burned to come {later:.1f} deg later for every 18 degF that the "
    "plenum is hotter than in the tables at the same pressure. Common practice, no source, takes "
    "1 deg for every 9 to 11 degF. Start from the larger trim."
)
NO_KNOCK = (
    "The knock margin is not known without a knock model. No cell says that its spark is free of "
    "knock, nor how much later it must be when the charge is hotter (common practice, no source: "
    "1 deg for every 9 to 11 degF)."
)
