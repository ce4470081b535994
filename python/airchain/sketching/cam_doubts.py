"""What the doubts of cams, ports and pipes do to filling and work.

Each is moved by its width to either side, and the cycle run again at the states p that the engine
and its strongest level stand at. With its change e of the logarithm of filling, and r of work
beside what more charge makes of it,

    r = change of imep - gross imep e

a factor on filling brings every such cycle to what the engine makes today: its logarithm is
s = -e - r/gross imep, the mean over today's speeds. So a level's filling is left in doubt by
e + s, and its torque by r besides. Levels between move as the strongest does.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.speeds import RPM
from ..chain.build import Build
from ..chain.matched_cycles import matched_points
from ..cylinder.parts import cylinder_of
from .cams import cam_guesses
from .model import Model
from .today import Known

Array = NDArray[np.float64]
#: Speeds that cycles are run at, over redline: levels with boost peak up there.
_SPEEDS = (0.6, 0.8, 1.0)


class CamMoves(NamedTuple):
    """How a guess a width more and a width less moves an engine over engine speed.

    `filling` is the change of its logarithm [dimensionless], `torque` what comes beside [N m].
    """

    filling: tuple[Array, Array]
    torque: tuple[Array, Array]


class _Cycles(NamedTuple):
    """Filling [dimensionless], net and gross mean pressures [Pa] at some states."""

    filling: Array
    net: Array
    gross: Array

    @classmethod
    def of(cls, build: Build, states: Mapping[str, Array]) -> _Cycles:
        """Run the cycles of a build."""
        solved = _core.run_cycles(cylinder_of(build).setup, dict(states))
        columns = ("volumetric_efficiency", "imep", "gross_imep")
        return cls(*(np.asarray(solved[name], dtype=float) for name in columns))


def cam_moves(model: Model, known: Known, build: Build) -> Mapping[str, CamMoves]:
    """Return by guess how it moves the engine over `model.rpm`.

    `build` is that of the guesses, with its surface. There is nothing where no point of it was
    solved.
    """
    states, today = _states(model, build)
    if len(states["speed"]) == today:
        return {}
    usual = _Cycles.of(model.with_cams(known.z, 1.0), states)
    swept = model.facts.displacement / (4.0 * np.pi)

    def over_rpm(values: Array) -> Array:
        at: Array = np.interp(model.rpm * RPM, states["speed"][today:], values[today:])
        return at

    def moved(name: str, side: float) -> tuple[Array, Array]:
        z = known.z.copy()
        z[model.names.index(name)] += side
        other = _Cycles.of(model.with_cams(z, 1.0), states)
        more = np.log(other.filling / usual.filling)
        work = other.net - usual.net - usual.gross * more
        asked = more[:today] + work[:today] / usual.gross[:today]
        factor = float(np.mean(asked)) if today else 0.0
        return over_rpm(more - factor), over_rpm(work) * swept

    moves = {}
    for guess in cam_guesses(model.facts):
        (more, works_more), (less, works_less) = (moved(guess.name, side) for side in (1.0, -1.0))
        moves[guess.name] = CamMoves((more, less), (works_more, works_less))
    return moves


def _states(model: Model, build: Build) -> tuple[dict[str, Array], int]:
    """States at the cylinder: first those of today, and how many they are."""
    pulls = [build.pull(np.array(_SPEEDS) * model.facts["redline"] / RPM)]
    if model.facts.today:
        told = np.unique([one.rpm for one in model.facts.today])
        pulls.insert(0, model.without_blower(build).pull(told))
    today = sum(int(np.count_nonzero(pull.matched)) for pull in pulls[:-1])
    parts = [matched_points(pull) for pull in pulls if pull.matched.any()]
    names = parts[0] if parts else ("speed",)
    joined = {name: np.concatenate([[], *(part[name] for part in parts)]) for name in names}
    return joined, today
