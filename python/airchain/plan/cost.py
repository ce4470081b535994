"""What a plan costs, level by level: parts, hours in the workshop and on the dyno."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..shown.tables import Table
from .parts import Link

if TYPE_CHECKING:
    from .plan import PlannedLevel

__all__ = ["Cost", "LevelCost", "cost_table", "costs_of"]


@dataclass(frozen=True)
class Cost:
    """Hours and rates of a [plan.cost] table.

    Attributes
    ----------
    change : float
        Time to change a pair of gears or pulleys [s].
    dyno : float
        Time on the dyno for one level [s].
    hour : float
        Price of an hour in the workshop, in the plan's currency [dimensionless].
    dyno_hour : float
        Price of an hour on the dyno, likewise [dimensionless].
    fixed : float
        What is paid once: set-up, fuel, freight [dimensionless].
    """

    change: float
    dyno: float
    hour: float
    dyno_hour: float
    fixed: float = 0.0


@dataclass(frozen=True)
class LevelCost:
    """What one level adds.

    Attributes
    ----------
    level : str
        Its name.
    bought : tuple of str
        Parts bought for it and not for an earlier one.
    parts, work, dyno : float
        What parts, the workshop and the dyno cost [dimensionless].
    change, on_dyno : float
        Time in the workshop and on the dyno [s].
    """

    level: str
    bought: tuple[str, ...]
    parts: float
    work: float
    dyno: float
    change: float
    on_dyno: float

    @property
    def total(self) -> float:
        """All of it [dimensionless]."""
        return self.parts + self.work + self.dyno


def costs_of(levels: Sequence[PlannedLevel], cost: Cost | None) -> list[LevelCost]:
    """Return what each level adds, in the order they are run.

    A part is paid at the first level that needs it. Every level whose parts differ from those of
    the one before takes a change, the first one too.

    Parameters
    ----------
    levels : sequence of PlannedLevel
        The levels.
    cost : Cost or None
        Hours and rates; without them parts alone.

    Returns
    -------
    list of LevelCost
        One a level.
    """
    told, had = [], set[str]()
    before: tuple[Link, ...] | None = None
    for level in levels:
        fitting = level.trial.fitting
        new = [part for part in fitting.parts if not part.owned and part.name not in had]
        had |= {part.name for part in new}
        change = cost.change if cost is not None and fitting.links != before else 0.0
        before = fitting.links
        on_dyno = cost.dyno if cost is not None else 0.0
        work = change / _HOUR * cost.hour if cost is not None else 0.0
        dyno = on_dyno / _HOUR * cost.dyno_hour if cost is not None else 0.0
        names = tuple(part.name for part in new)
        price = sum(part.price for part in new)
        told.append(LevelCost(level.name, names, price, work, dyno, change, on_dyno))
    return told


_HOUR = 3600.0


def cost_table(levels: Sequence[PlannedLevel], cost: Cost | None, currency: str) -> Table:
    """Return the cost of every level and of the whole.

    Parameters
    ----------
    levels : sequence of PlannedLevel
        The levels of a plan.
    cost : Cost or None
        Hours and rates.
    currency : str
        What prices are in.

    Returns
    -------
    Table
        One row a level, then what is paid once, then the sum.
    """
    rows, running = [], 0.0
    costs = costs_of(levels, cost)
    if cost is not None and cost.fixed:
        running = cost.fixed
        rows.append(["paid once", "–", "–", "–", "–", "–", _money(running), _money(running)])
    for one in costs:
        running += one.total
        rows.append([
            one.level, ", ".join(one.bought) or "nothing", _money(one.parts),
            _hours(one.change), _hours(one.on_dyno), _money(one.work + one.dyno),
            _money(one.total), _money(running),
        ])  # fmt: skip
    whole = [sum(getattr(c, name) for c in costs)
             for name in ("parts", "change", "on_dyno", "work", "dyno")]  # fmt: skip
    rows.append(["all levels", "", _money(whole[0]), _hours(whole[1]), _hours(whole[2]),
                 _money(whole[3] + whole[4]), _money(running), _money(running)])  # fmt: skip
    money = currency or "price"
    headings = ["level", "to buy", "parts", "workshop", "dyno", "hours cost", "level costs", "sum"]
    units = ["", "", money, "h", "h", money, money, money]
    key = "A part is paid at the first level that needs it."
    if cost is None:
        key += " Nobody typed hours and rates, so parts alone are counted."
    return Table(headings, units, rows, caption="Cost", key=key, flush=(0, 1))


def _money(value: float) -> str:
    return f"{value:,.0f}"


def _hours(seconds: float) -> str:
    return f"{seconds / _HOUR:.1f}"
