"""An invented engine for the tests of the crank-resolved engine."""

from typing import Any

import numpy as np

from airchain.cylinder.crank_engine import CrankEngine

#: Lift over valve diameter, and invented share of the seat's area that flows.
RATIO = np.array([0.05, 0.10, 0.15, 0.20, 0.25, 0.30, 0.36])
SHARE = np.array([0.13, 0.27, 0.40, 0.50, 0.57, 0.61, 0.64])
INTAKE = {"duration": "236 deg", "seat_duration": "288 deg", "lobe_lift": "0.362 in"}
EXHAUST = {"duration": "244 deg", "seat_duration": "296 deg", "lobe_lift": "0.354 in"}


def port(diameter: float) -> dict[str, Any]:
    """A port whose flow is an invented share of its seat's, at 28 inches of water [m]."""
    flow = SHARE * 0.25 * np.pi * diameter**2 * 106.0
    return {
        "valve_diameter": diameter,
        "lift": RATIO * diameter,
        "flow": flow,
        "depression": "28 inH2O",
        "convention": "incompressible",
    }


def engine(cells: int = 8, **more: Any) -> CrankEngine:
    """The engine, with coarse pipes unless told otherwise."""
    given: dict[str, Any] = {
        "name": "invented V8",
        "bore": "4.125 in",
        "stroke": "4.00 in",
        "rod_length": "6.20 in",
        "compression_ratio": 9.5,
        "cylinders": 8,
        "redline": "7200 rpm",
        "camshaft": {
            "intake": INTAKE,
            "exhaust": EXHAUST,
            "lobe_separation": "112 deg",
            "intake_centreline": "108 deg",
        },
        "intake_port": port(0.0525),
        "exhaust_port": port(0.0410),
        "runner": {
            "length": "12.5 in", "diameter": "52 mm", "port_diameter": "46 mm", "cells": cells
        },
        "primary": {"length": "31 in", "diameter": "44 mm", "cells": cells},
        "fuel": {"name": "gasoline_premium", "lambda": 0.88},
    }  # fmt: skip
    return CrankEngine(**(given | more))
