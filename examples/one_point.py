"""One matched point of an invented boosted engine on three pairs of gears; see one_point.cpp."""

from pathlib import Path

import airchain

build = airchain.load(Path(__file__).with_name("one_point.toml"))
for level in build.levels:
    point = build.level(level).pull([6500])
    boost, power = point.get("boost", "kPa")[0], point.get("power", "kW")[0]
    print(f"{level}: {power:.3f} kW at {boost:.3f} kPa, {point.status[0]}")
