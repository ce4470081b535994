"""What is always said of a calibration."""

from __future__ import annotations

SPARK = (
    "Spark is told as the angle at which half the charge has burned, as the build's combustion has "
    "it; the spark angle that puts it there is found on the engine. Torque left is against the "
    "level's own best phasing."
)
CAM_SPARK = (
    "Half burned is what the calibration fixes, after top centre. Ignition is computed from it: "
    "the start of the burn law, before top centre; a real spark comes earlier by its flame's "
    "delay, so phasing is what is to be found again on the engine. Knock margin is the least along "
    "the level, estimated, of the worst cylinder. Torque left is against the level's own best "
    "phasing, which knock forbids where the margin is smaller than the way there."
)
NOTES = (
    "a starting point of a model, not a tune: start rich and retarded, listen for knock, and "
    "read plugs and each cylinder's exhaust before the next level",
    "lambda and spark hold for full throttle; below it economy, driving and emissions ask for "
    "their own, and the law may too",
    "cranking, warm-up, transients, idle and differences between cylinders are left out",
)
SPARK_CELLS = (
    "knock margin and ignition are computed at every cell, whatever was run there, from "
    "crank-resolved cycles at nodes at most 1000 rpm and 40 kPa apart, and straight between them"
)
WARMER = (
    "in this model knock asks half burned to come {later:.1f} deg later for every 10 K that the "
    "plenum is hotter than in the tables at the same pressure; common practice, no source, takes "
    "1 deg for every 5 to 6 K, and the larger trim is the one to start from"
)
NO_KNOCK = (
    "knock margin is not known without a knock model: no cell says that its spark is free of "
    "knock, nor how much later it must be when the charge is hotter (common practice, no source: "
    "1 deg for every 5 to 6 K)"
)
