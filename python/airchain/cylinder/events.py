"""When the valves open and close, as a cam card tells it."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import TYPE_CHECKING

from ..shown.tables import Shown, Table
from ..units.convert import display, formatted, unit_label

if TYPE_CHECKING:
    from .crank_engine import CrankEngine

__all__ = ["ValveEvents"]

_AT = {"0.050": "at 0.050 in tappet lift", "seat": "at the seat lift"}
_ROWS = {
    "intake_opens": ("intake opens", "before TC", "after TC"),
    "intake_closes": ("intake closes", "after BC", "before BC"),
    "exhaust_opens": ("exhaust opens", "before BC", "after BC"),
    "exhaust_closes": ("exhaust closes", "after TC", "before TC"),
    "intake_duration": ("intake duration", "", ""),
    "exhaust_duration": ("exhaust duration", "", ""),
    "overlap": ("overlap", "", "negative: no overlap"),
}


@dataclass(frozen=True, eq=False, repr=False)
class ValveEvents(Shown):
    """Valve events of an engine.

    ``events["seat"]["intake_opens"]`` is an SI number; what stands before its centre in the trade's
    words (intake opening before top centre, exhaust opening before bottom centre) counts upwards
    from it.

    Attributes
    ----------
    engine : CrankEngine
        The engine.
    """

    engine: CrankEngine

    def __getitem__(self, at: str) -> dict[str, float]:
        """Return the events [rad] at ``"0.050"`` or ``"seat"``."""
        cam = self.engine.camshaft
        intake = [cam.intake_centreline + a for a in cam.spans("intake")[at]]
        exhaust = [a - cam.exhaust_centreline for a in cam.spans("exhaust")[at]]
        return {
            "intake_opens": -intake[0],
            "intake_closes": intake[1] - pi,
            "exhaust_opens": -exhaust[0] - pi,
            "exhaust_closes": exhaust[1],
            "intake_duration": intake[1] - intake[0],
            "exhaust_duration": exhaust[1] - exhaust[0],
            "overlap": exhaust[1] - intake[0],
        }

    @property
    def lift_at_top_centre(self) -> dict[str, float]:
        """Lift of each valve at top centre of gas exchange [m]."""
        cam = self.engine.camshaft
        return {name: float(cam.lift(name, 2.0 * pi)) for name in ("intake", "exhaust")}

    @property
    def verdict(self) -> str:
        """The camshaft in a line."""
        cam = self.engine.camshaft
        separation = formatted(cam.lobe_separation, "angle")
        return (
            f"{self.engine.name}: lobe separation {separation}, intake centreline "
            f"{formatted(cam.intake_centreline, 'angle')} after TC, exhaust centreline "
            f"{formatted(cam.exhaust_centreline, 'angle')} before TC"
        )

    @property
    def notes(self) -> list[str]:
        """Clearances, and which were not checked."""
        cautions = []
        for name in ("intake", "exhaust"):
            if name in self.engine.clearances:
                left, angle = self.engine.clearances[name]
                cautions.append(
                    f"The {name} valve comes within {formatted(left, 'length')} of the piston at "
                    f"{angle * 180.0 / pi:+.0f} deg of top centre, if no part bends. Measure it on "
                    "the engine."
                )
            else:
                cautions.append(
                    f"The {name} valve's clearance to the piston is not checked: no piston_gap was "
                    "given."
                )
        return cautions

    def _tables(self, system: str) -> list[Table]:
        sides = {at: self[at] for at in _AT}
        rows = []
        for name, (words, usual, otherwise) in _ROWS.items():
            cells = [words]
            for events in sides.values():
                angle, side = events[name] * 180.0 / pi, usual
                if angle < 0.0:
                    side, angle = otherwise, -angle if usual else angle
                cells.append(f"{angle:.1f} deg {side}".rstrip())
            rows.append(cells)
        cam, unit = self.engine.camshaft, unit_label("length", system)
        tops = self.lift_at_top_centre
        lifts = [
            [
                name,
                *(
                    f"{display(value, 'length', system)[0]:.{3 if system == 'trade' else 2}f}"
                    for value in (cam.curve(name).highest, tops[name])
                ),
            ]
            for name in ("intake", "exhaust")
        ]
        return [
            Table(["event", *_AT.values()], ["", "", ""], rows),
            Table(["valve", "highest lift", "lift at TC"], ["", unit, unit], lifts, "Valve lifts"),
        ]
