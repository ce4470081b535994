"""One matched point of the invented demo build, and what a longer step of the drive would do."""

from pathlib import Path

import airchain

build = airchain.load(Path(__file__).resolve().parents[1] / "demo" / "ridge_road.toml")
for level in build.levels:
    point = build.level(level).pull([7000])
    power, boost = point.get("power", "hp")[0], point.get("boost", "psi")[0]
    print(f"{level}: {power:.0f} hp at {boost:.1f} psi, {point.status[0]}")
