"""Tables of a whole engine's points: its cylinders against each other, and each over speed."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from ..shown.columns import shown_as
from ..shown.tables import Table
from ..units.convert import unit_label

if TYPE_CHECKING:
    from .cylinder_points import CylinderPoints


def spread_table(points: CylinderPoints, system: str) -> Table:
    """Return the cylinders of each point against each other."""
    rows = []
    for i, rpm in enumerate(points.rpm):
        fresh, knock = points["fresh_mass"][i], points["knock_integral"][i]
        lean = points["lambda_of_equal_fuel"][i]
        rows.append([
            f"{rpm:,.0f}",
            shown_as("torque", float(points["torque"][i]), system),
            f"{np.mean(points['volumetric_efficiency'][i]):.3f}",
            f"{100.0 * points.spread[i]:.1f}",
            *(_cell(np.argmax(fresh) + 1.0, 0), _cell(np.argmin(fresh) + 1.0, 0)),
            f"{100.0 * np.max(points['residual_fraction'][i]):.1f}",
            f"{np.min(lean):.3f} to {np.max(lean):.3f}",
            _cell(np.max(knock), 2), _cell(np.argmax(knock) + 1.0, 0),
            points.status[i].replace("_", " "),
        ])  # fmt: skip
    headings = [
        "engine", "torque", "volumetric efficiency", "spread", "fullest", "emptiest",
        "most residual", "lambda with equal fuel", "worst knock", "in", "status",
    ]  # fmt: skip
    units = ["rpm", unit_label("torque", system), "", "%", "", "", "%", "", "", "", ""]
    return Table(headings, units, rows, "Cylinders of one engine against each other")


def cylinder_table(points: CylinderPoints, system: str) -> Table:
    """Return each cylinder's mean over the points that converged, and its worst."""
    good = points.converged
    mean = np.mean(points["fresh_mass"], axis=1, keepdims=True)
    off = 100.0 * (points["fresh_mass"] / mean - 1.0)[good]
    rows = []
    for c in range(points.cylinders):
        if not good.any():
            break
        peak = float(np.max(points["peak_pressure"][good, c]))
        rows.append([
            str(c + 1),
            f"{np.mean(off[:, c]):+.1f}",
            f"{np.min(off[:, c]):+.1f} to {np.max(off[:, c]):+.1f}",
            f"{100.0 * np.max(points['residual_fraction'][good, c]):.1f}",
            shown_as("pressure", peak, system),
            _cell(np.max(points["knock_integral"][good, c]), 2),
        ])  # fmt: skip
    headings = ["cylinder", "charge against the mean", "over speed", "most residual",
                "highest pressure", "worst knock"]  # fmt: skip
    units = ["", "%", "%", "%", unit_label("pressure", system), ""]
    return Table(headings, units, rows, "Each cylinder over the speeds that converged")


def _cell(value: float, digits: int) -> str:
    return f"{value:.{digits}f}" if np.isfinite(value) else "–"
