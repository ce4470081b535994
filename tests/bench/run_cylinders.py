"""Where one cylinder suffices: the table of the notebook about headers, and what a point costs.

Run from the top of the repository: python tests/bench/run_cylinders.py
"""

from __future__ import annotations

import time
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np

import airchain
from airchain.cylinder import CylinderPoints, every_cylinder

DEMO = Path(__file__).resolve().parents[2] / "demo" / "ridge_road.toml"
RPM = np.arange(3000.0, 7501.0, 250.0)
PIPE = {"volume": "1 L", "length": "0.45 m", "diameter": "4 in"}
TIGHT = {"volume": "0.5 L", "length": "0.45 m", "diameter": "3 in"}
VOLUME = {"volume": "6 L"}
FLAT = {"crank": "flat", "firing_order": [1, 8, 3, 6, 7, 2, 5, 4]}
#: Gauge pressure in the plenum [kPa] and pressure behind the collectors [kPa].
EXHAUST = {0: 103.0, 50: 108.0, 100: 114.0}


class Case(NamedTuple):
    """A row of the table."""

    words: str
    boost: int
    changes: dict[str, Any]


CASES = (
    Case("crossplane, 6 L volume", 0, {"collectors": VOLUME}),
    Case("crossplane, 6 L volume", 100, {"collectors": VOLUME}),
    Case("crossplane, merge and pipe", 0, {"collectors": PIPE}),
    Case("crossplane, merge and pipe", 50, {"collectors": PIPE}),
    Case("crossplane, merge and pipe", 100, {"collectors": PIPE}),
    Case("crossplane, tight", 0, {"collectors": TIGHT}),
    Case("flat, merge and pipe", 0, {"collectors": PIPE, **FLAT}),
    Case("flat, merge and pipe", 100, {"collectors": PIPE, **FLAT}),
)
HEADINGS = (
    "crank and collector",
    "boost [bar]",
    "error, rms below / above 4,500 rpm [%]",
    "least to most [%]",
    "spread, mean / most [%]",
    "residual of the worst above one's [points]",
    "knock of the worst [deg]",
)


def engine_of(case: Case) -> airchain.CrankEngine:
    """The demonstration's engine with other collectors, its plenum of one displacement."""
    demo = airchain.CrankEngine.of(airchain.load(DEMO))
    plenum = {"volume": f"{demo.engine.displacement!r} m^3"}
    # The demonstration's own fuel is beyond the octane numbers that the knock formula knows.
    fuel = {"name": "gasoline_premium", "lambda": 0.86}
    return demo.replace({"plenum": plenum, "fuel": fuel, **case.changes})


def solved(case: Case, rpm: np.ndarray = RPM) -> CylinderPoints:
    """The case's points."""
    plenum = f"{100 + case.boost} kPa"
    return every_cylinder(engine_of(case), rpm, plenum, f"{EXHAUST[case.boost]} kPa")


def figures(points: CylinderPoints) -> dict[str, float]:
    """What a row tells; of points that converged."""
    good = points.converged
    error = 100.0 * points.filling_error()
    one = points.one_cylinder()
    low = points.rpm < 4500.0
    later = np.deg2rad(3.0)
    kept = {n: one.conditions[n] for n in one.conditions if n not in ("rpm", "half_burned")}
    half = one.conditions["half_burned"]
    eased = points.engine.points(points.rpm, **kept, half_burned=half + later)
    # Degrees by which half burned must come later for the worst to be as the one cylinder is.
    fall = np.log(one["knock_integral"] / eased["knock_integral"]) / 3.0
    worst = np.log(np.max(points["knock_integral"], axis=1) / one["knock_integral"]) / fall
    residual = np.max(points["residual_fraction"], axis=1) - one["residual_fraction"]

    def rms(values: np.ndarray) -> float:
        return float(np.sqrt(np.nanmean(values**2)))

    return {
        "points": float(good.sum()),
        "low": rms(error[low]),
        "high": rms(error[~low]),
        "least": float(np.nanmin(error)),
        "most": float(np.nanmax(error)),
        "spread": 100.0 * float(np.mean(points.spread[good])),
        "most_spread": 100.0 * float(np.max(points.spread[good])),
        "residual": 100.0 * float(np.max(residual[good])),
        "knock": float(np.max(worst[good])),
    }


def row_of(case: Case, told: dict[str, float]) -> str:
    """A row of the table in Markdown."""
    cells = (
        case.words,
        f"{case.boost / 100:g}",
        f"{told['low']:.1f} / {told['high']:.1f}",
        f"{told['least']:+.1f} to {told['most']:+.1f}",
        f"{told['spread']:.1f} / {told['most_spread']:.1f}",
        f"{told['residual']:.1f}",
        f"{told['knock']:.1f}",
    )
    return f"| {' | '.join(cells)} |"


def main() -> None:
    """Print the table, then what points cost."""
    print(f"| {' | '.join(HEADINGS)} |")
    print("|" + "---|" * len(HEADINGS))
    for case in CASES:
        told = figures(solved(case))
        print(
            row_of(case, told), "" if told["points"] == len(RPM) else f"{told['points']:.0f} points"
        )
    print("\nCPU time of a point [ms], one thread, speeds as above:")
    for case in CASES[0], CASES[2], CASES[4]:
        engine = engine_of(case)
        given = (RPM, f"{100 + case.boost} kPa", f"{EXHAUST[case.boost]} kPa")
        start = time.process_time()
        points = every_cylinder(engine, *given, threads=1)
        whole = 1e3 * (time.process_time() - start) / len(RPM)
        start = time.process_time()
        engine.points(*given, threads=1)
        one = 1e3 * (time.process_time() - start) / len(RPM)
        rounds = np.mean(points["rounds"])
        print(f"{case.words}, {case.boost / 100:g} bar: {whole:.0f} in {rounds:.1f} fine rounds, "
              f"{whole / one:.0f} times one cylinder's {one:.1f}")  # fmt: skip


if __name__ == "__main__":
    main()
