"""One cycle over crank angle: pressures, temperatures, flows and valve areas."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from .. import _core
from ..base.errors import quoted, refusal, suggestion
from ..base.extras import extra
from ..shown.columns import shown_as
from ..shown.tables import Shown, Table
from ..units.convert import unit_label
from ._columns import columns, heading

__all__ = ["CycleTrace"]

_SHOWN = (
    "imep", "pmep", "peak_pressure", "peak_angle", "half_burned", "burn_duration",
    "volumetric_efficiency", "residual_fraction", "scavenging_loss", "exhaust_temperature",
    "heat_loss", "knock_integral", "mass_error", "energy_error", "cycles",
)  # fmt: skip


@dataclass(frozen=True, eq=False, repr=False)
class CycleTrace(Shown):
    """A cycle of one cylinder, from inlet closing to inlet closing.

    ``trace["pressure"]`` is an SI array over the steps of the cycle, ``trace["angle"]`` their crank
    angle after firing top centre.

    Attributes
    ----------
    point : EnginePoints
        The one operating point.
    rows : mapping
        Every array by name [SI].
    """

    point: Any
    rows: Mapping[str, Any]

    def __getitem__(self, name: str) -> Any:
        if name not in self.rows:
            rule = f"be one of {', '.join(self.rows)}"
            hint = suggestion(name, list(self.rows))
            raise refusal("CycleTrace", "name", quoted(name), rule, hint)
        return self.rows[name]

    @property
    def engine(self) -> Any:
        """The engine."""
        return self.point.engine

    @property
    def degrees(self) -> Any:
        """Crank angle after firing top centre [deg]."""
        return np.rad2deg(self.rows["angle"])

    def to_frame(self) -> Any:
        """Return the cycle as a table of numbers.

        Returns
        -------
        pandas.DataFrame
            One row a step, SI.
        """
        return extra("pandas").DataFrame(dict(self.rows))

    def write(self, path: Any) -> None:
        """Write the cycle as comma-separated text, SI, with units in the header.

        Parameters
        ----------
        path : str or path
            The file.
        """
        from ..base.text_file import write_text

        units = {name: unit for name, unit, _ in _core.trace_columns()}
        named = {name: f"{name} [{units[name]}]" for name in self.rows}
        frame = self.to_frame().rename(columns=named)
        write_text(path, frame.to_csv(index=False, lineterminator="\n"))

    @property
    def verdict(self) -> str:
        """Engine, speed and status."""
        rpm = float(self.point.rpm[0])
        status = str(self.point.status[0]).replace("_", " ")
        return f"{self.engine.name}, cycle at {rpm:,.0f} rpm: {status}"

    @property
    def notes(self) -> list[str]:
        """Those of the point."""
        return list(self.point.notes)

    def _tables(self, system: str) -> list[Table]:
        rows = []
        for name in _SHOWN:
            value, kind = float(self.point[name][0]), columns()[name].kind
            text = f"{value:.1e}" if name.endswith("_error") else shown_as(kind, value, system)
            rows.append([heading(name), text, unit_label(kind, system)])
        return [Table(["quantity", "value", "unit"], ["", "", ""], rows)]
