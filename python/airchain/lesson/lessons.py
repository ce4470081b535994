"""The lesson on a build: its questions, its changes, its last page and the score."""

from __future__ import annotations

from functools import partial

from ..base.errors import quoted, refusal, suggestion
from ..base.speeds import RPM
from ..chain.build import Build
from ..chain.solving import default_speeds
from . import engine_questions as engine
from . import intake_questions as intake
from . import power_questions as power
from .answers import has_pictures, picture
from .asking import ChangeCheck, Check, NotThere
from .changes import MAKERS, Change, Move, changes_of, moves_of, warning_of
from .last_page import LastPage
from .moving_point import MovingPoint
from .point import Point
from .question import Maker, Question
from .score import Score

__all__ = ["Lesson"]

#: The questions of the stations, in the order of the air.
_STATIONS: dict[str, Maker] = {
    "air pressure": intake.air_pressure,
    "inlet loss": intake.inlet_loss,
    "rotor speed": intake.rotor_speed,
    "impeller direction": intake.impeller_direction,
    "outlet temperature": intake.outlet_temperature,
    "cooler outlet": engine.cooler_outlet,
    "boost": engine.boost,
    "fuel for the air": engine.fuel_per_air,
    "charge temperature": engine.charge_temperature,
    "air flow": engine.air_flow,
    "power": power.crank_power,
    "blower's share": power.drive_share,
    "without the blower": power.aspirated_power,
    "blown through": power.blown_through,
    "room to knock": power.knock_margin,
}
#: Those of the last page.
_LAST: tuple[Maker, ...] = (
    intake.rotor_speed, intake.inlet_loss, intake.outlet_temperature, power.compressor_power,
    engine.cooler_outlet, engine.boost, engine.density_gain, engine.air_flow, engine.fuel_flow,
    power.drive_share,
)  # fmt: skip
#: Parts of the score.
_PARTS = ("stations", "changes", "last page")


class Lesson:
    """Questions about a build's air, asked before they are answered by its own chain.

    Every number in a question, and every answer, is that of the build in use.

    Parameters
    ----------
    build : Build
        The build, on the level that is to be looked at.
    rpm : float, optional
        Engine speed [rpm]; that at which the build compares its levels without it.
    system : str
        Units throughout: ``"trade"`` or ``"si"``.

    Raises
    ------
    InputError
        The speed is no number, or the point is not solved there.
    """

    def __init__(self, build: Build, rpm: float | None = None, system: str = "trade") -> None:
        speed = build.reference_speed / RPM if rpm is None else float(rpm)
        self.point = Point(build, speed, system)
        self._heard: dict[str, dict[str, tuple[int, int]]] = {part: {} for part in _PARTS}
        self._asked: dict[str, Question | None] = {}
        self._changes: dict[str, Change] | None = None
        self._page: LastPage | None = None
        status = self.point.table.status
        if status != "matched":
            rule = "be a speed at which the build is solved"
            raise refusal(
                "Lesson", "rpm", f"{speed:,.0f} rpm, {status}", rule, "take another speed"
            )

    @property
    def build(self) -> Build:
        """The build."""
        return self.point.build

    @property
    def questions(self) -> tuple[str, ...]:
        """Names of the questions about the stations, in the order of the air."""
        return tuple(_STATIONS)

    @property
    def changes(self) -> tuple[str, ...]:
        """Names of the changes that the build allows."""
        return tuple(self._all_changes())

    def ask(self, name: str) -> Check | NotThere:
        """Return a question about a station.

        Parameters
        ----------
        name : str
            One of `questions`.

        Returns
        -------
        Check
            Shown, it asks; called with a guess, it answers. Where the build has no such part,
            something that says so.

        Raises
        ------
        InputError
            There is no such question.
        """
        if name not in _STATIONS:
            rule = f"be one of {', '.join(_STATIONS)}"
            raise refusal("Lesson", "ask", quoted(name), rule, suggestion(name, list(_STATIONS)))
        if name not in self._asked:
            self._asked[name] = _STATIONS[name](self.point)
        question = self._asked[name]
        if question is None:
            return NotThere(name)
        return Check(question, partial(self._hear, "stations"))

    def change(self, name: str) -> ChangeCheck | NotThere:
        """Return a question about a change.

        Parameters
        ----------
        name : str
            Such as ``"faster drive"``; `changes` has those that the build allows.

        Returns
        -------
        ChangeCheck
            Shown, it asks; called with guesses, it answers. Where the build has no such part,
            something that says so.

        Raises
        ------
        InputError
            There is no such change.
        """
        known = tuple(MAKERS)
        if name not in known:
            rule = f"be one of {', '.join(known)}"
            raise refusal("Lesson", "change", quoted(name), rule, suggestion(name, list(known)))
        change = self._all_changes().get(name)
        if change is None:
            return NotThere(name)
        after = Point(change.build, self.point.rpm, self.point.system)
        return ChangeCheck(
            change,
            lambda: self._moves(after),
            partial(self._hear, "changes"),
            lambda: (warning_of(after), self._picture(after, change)),
            self.point.system,
        )

    def moving_point(self) -> MovingPoint:
        """Return the point that moves over the compressor's map as the engine speeds up.

        Returns
        -------
        MovingPoint
            A notebook shows it moving; its text says what is seen.

        Raises
        ------
        InputError
            The build has no compressor.
        """
        return MovingPoint(self.build.pull(), self.point.system)

    def last_page(self) -> LastPage:
        """Return the last page: ten questions on another level, at another speed.

        Returns
        -------
        LastPage
            Shown, it asks; called with guesses, it marks them; `LastPage.worked` has the answers.
        """
        if self._page is None:
            self._page = self._made_page()
        return self._page

    def _made_page(self) -> LastPage:
        build = self.build
        others = [name for name in build.levels if name != build.level_name]
        if others:
            build = build.level(others[0])
        slowest = float(default_speeds(build)[0])
        point = Point(build, max(round(0.8 * self.point.rpm, -2), slowest), self.point.system)
        made = [question for make in _LAST if (question := make(point)) is not None]
        title = f"{build.title} at {point.rpm:,.0f} rpm."
        return LastPage(title, tuple(made), partial(self._hear, "last page"))

    def score(self) -> Score:
        """Return how many first guesses were right.

        Returns
        -------
        Score
            Counts for stations, changes and last page, and what to look at again.
        """
        known = {
            "stations": [n for n in _STATIONS if self._asked.get(n, True) is not None],
            "changes": list(self._all_changes()),
            "last page": [q.name for q in self.last_page().questions],
        }
        return Score(
            {part: {n: self._heard[part].get(n) for n in names} for part, names in known.items()}
        )

    def _hear(self, part: str, name: str, right: int, asked: int) -> None:
        # The answer is known after the first guess, so later ones tell nothing.
        self._heard[part].setdefault(name, (right, asked))

    def _all_changes(self) -> dict[str, Change]:
        if self._changes is None:
            self._changes = changes_of(self.build, self.point.system)
        return self._changes

    def _moves(self, after: Point) -> tuple[Move, ...]:
        return moves_of(self.point, after)

    def _picture(self, after: Point, change: Change) -> str:
        if not has_pictures() or not self.build.supercharged:
            return ""
        pulls = {change.name: after.table.pull}
        try:
            figure = self.point.table.pull.plot_map(
                system=self.point.system, beside=pulls, label="before", title=change.words
            )
        except ValueError:
            return ""
        return picture(
            figure, f"The point on the compressor's map before and after: {change.words}"
        )
