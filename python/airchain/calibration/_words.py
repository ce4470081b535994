"""What is always said of a calibration."""

from __future__ import annotations

SPARK = (
    "Spark is told as the angle at which half the charge has burned, as the build's combustion has "
    "it; the spark angle that puts it there is found on the engine. Torque left is against the "
    "level's own best phasing."
)
NOTES = (
    "a starting point of a model, not a tune: start rich and retarded, listen for knock, and "
    "read plugs and each cylinder's exhaust before the next level",
    "lambda and spark hold for full throttle; below it economy, driving and emissions ask for "
    "their own, and the law may too",
    "cranking, warm-up, transients, idle and differences between cylinders are left out",
)
NO_KNOCK = (
    "knock margin is not known without a knock model: no cell says that its spark is free of "
    "knock, nor how much later it must be when the charge is hotter (common practice, no source: "
    "1 deg for every 5 to 6 K)"
)
