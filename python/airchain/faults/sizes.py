"""Sizes of faults as text."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from ..units.convert import formatted

#: Of a hole with a sharp edge (common practice, no source).
_DISCHARGE = 0.6


def _share(size: float, _system: str) -> str:
    return f"{100.0 * size:+.1f} %" if size < 0.0 else f"{100.0 * size:.1f} %"


def _hole(size: float, system: str) -> str:
    across = float(np.sqrt(4.0 * size / (_DISCHARGE * np.pi)))
    if system == "si":
        return f"a hole {1e3 * across:.0f} mm across"
    return f"a hole {across / 0.0254:.2f} in across"


def _signed(kind: str) -> Callable[[float, str], str]:
    def said(size: float, system: str) -> str:
        text = formatted(size, kind, system)
        return f"+{text}" if size > 0.0 else text

    return said


#: By kind of a form's size, the text for a size [SI] and a unit system.
SAID: dict[str, Callable[[float, str], str]] = {
    "share": _share,
    "hole": _hole,
    "pressure": _signed("pressure_difference"),
    "temperature": _signed("temperature_difference"),
    "angle": lambda size, _system: f"{np.degrees(size):.0f} deg",
    "time": lambda size, _system: f"{size:.1f} s",
    "atmospheres": lambda size, _system: "one atmosphere",
    "cylinder": lambda size, _system: f"{100.0 * size:.0f} % of its work",
}


def said(kind: str, size: float, system: str = "trade") -> str:
    """Return a size as text."""
    return SAID[kind](size, system) if np.isfinite(size) else "–"
