"""The order of work: what to run first, and what to look at before going up a level."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ..fit.prediction import Prediction
from ..shown.columns import in_display, label
from ..shown.tables import Table
from ._solving import Solved

__all__ = ["CHECKS", "Gate", "gate_table"]

#: What is looked at before the next level (common practice, no source).
CHECKS = (
    "Look at the plugs of every cylinder. They must all look alike, with no specks of aluminium "
    "and no blistered or broken insulator.",
    "Measure the leak-down of every cylinder and compare it with the one before the first pull. A "
    "change tells you which cylinder has suffered.",
    "Read the exhaust temperature of each cylinder. The hottest and the leanest cylinder set spark "
    "and fuel for all of them.",
    "Look at the oil and the filter for glitter, and at the blower's own oil and its magnet.",
    "Check backlash and contact pattern of the gears, or dust, tension and alignment of the belt.",
    "Check the fuel pressure at peak power. It must hold over boost to the end of the pull.",
    "Compare the log with the prediction. Power and boost must lie within their bands; otherwise "
    "stop and find out why.",
)
_COLUMNS = ("power", "boost")


@dataclass(frozen=True)
class Gate:
    """What a level must read before the next is fitted.

    Attributes
    ----------
    level : str
        The level that is run.
    rpm : float
        Engine speed that is compared [rpm].
    expected : dict
        Expected reading and half its 90 % band of power, boost and what else is read [SI].
    barred : str
        What forbids to run it; empty where nothing does.
    """

    level: str
    rpm: float
    expected: dict[str, tuple[float, float]]
    barred: str = ""

    def go(self, name: str, reading: float) -> bool:
        """Return whether a reading lies within its band.

        Parameters
        ----------
        name : str
            A column of `expected`, such as ``"power"``.
        reading : float
            The reading [SI], in the build's own weather.

        Returns
        -------
        bool
            Whether to go on.
        """
        middle, half = self.expected[name]
        return abs(reading - middle) <= half


def gate_of(level: str, rpm: float, solved: Solved, prediction: Prediction | None = None,
            columns: Sequence[str] = _COLUMNS) -> Gate:  # fmt: skip
    """Return what a level must read; from a fit, with the bias of its sensors, where there is one.

    Parameters
    ----------
    level : str
        Name of the level.
    rpm : float
        Engine speed of the pull that is nearest to be compared [rpm].
    solved : Solved
        The level in the build's own weather.
    prediction : Prediction, optional
        Of a fitted build.
    columns : sequence of str
        What is read, columns of a pull.

    Returns
    -------
    Gate
        The bands.
    """
    i = int(abs(solved.rpm - rpm).argmin())
    at = float(solved.rpm[i])
    expected = {}
    for name in columns:
        if prediction is not None:
            middle = prediction.at(at, name)
            expected[name] = (middle, middle - prediction.band_at(at, name)[0])
        else:
            middle, half = (values[i] for values in solved.band(name))
            expected[name] = (float(middle), float(half))
    return Gate(level, at, expected)


def gate_table(gates: Sequence[Gate], system: str = "trade") -> Table:
    """Return the levels in the order they are run, with what each must read.

    Parameters
    ----------
    gates : sequence of Gate
        One a level.
    system : str
        ``"trade"`` or ``"si"``.

    Returns
    -------
    Table
        One row a level.
    """
    rows = []
    for number, gate in enumerate(gates, 1):
        cells = []
        for name in _COLUMNS:
            middle, half = gate.expected[name]
            low, high = (float(in_display(name, middle + s * half, system)) for s in (-1, 1))
            cells.append(f"{low:,.1f} to {high:,.1f}")
        after = "go up" if number < len(gates) else "hand over"
        rows.append([f"{number}. {gate.level}", f"{gate.rpm:,.0f}", *cells, gate.barred or after])
    return Table(
        ["run", "at", *_COLUMNS, "then, with every reading inside its band and every check clean"],
        ["", "rpm", *(label(name, system) for name in _COLUMNS), ""],
        rows,
        caption="Order of work: go on only when the readings fall into these bands",
        key="Nine of ten readings in the weather as typed fall into these bands. If one lies "
        "outside, above or below, stop and find out why.",
    )
