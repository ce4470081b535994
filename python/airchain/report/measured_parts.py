"""The parts that hold measurement against computation: weather, fits, predictions and pulls."""

from __future__ import annotations

from ..shown.standing_words import FIT_WORDS
from .blocks import Section, bullets, figure, heading, tell, words
from .material import Material


def weather(made: Material) -> Section | None:
    """Every level on the coldest and the hottest day, beside standard and chain."""
    if made.weather is None:
        return None
    caption = "Bands from the lowest to the highest day: thick the day as typed, thin the edges."
    drawn = figure(made.weather.plot(system=made.system), "weather", caption)
    told = tell(made.weather, made.system)
    return Section("weather", "From the coldest to the hottest day", [drawn, *told])


def measured(made: Material) -> Section | None:
    """The fit, and every prediction beside the pull that was then run."""
    if made.fit is None and not made.comparisons and not made.pulls:
        return None
    blocks = []
    if made.pulls:
        first, *others = (pull.replace(name=name) for name, pull in made.pulls.items())
        drawn = first.plot(system=made.system, beside=others)
        blocks.append(figure(drawn, "pulls_measured", "The pulls as they were measured."))
        blocks += bullets(f"{name}: {pull.verdict}" for name, pull in made.pulls.items())
    if made.fit is not None:
        drawn = made.fit.plot_residuals(system=made.system)
        blocks += [words(FIT_WORDS), heading("The fit"), *tell(made.fit, made.system)]
        blocks.append(figure(drawn, "residuals", "Readings less fitted chain."))
    for number, told in enumerate(made.comparisons):
        title = told.prediction.title
        caption = f"{title}: 90 % band, and the pull that was run."
        drawn = told.plot(system=made.system)
        blocks += [heading(title), *tell(told, made.system), *bullets(told.prediction.notes)]
        blocks.append(figure(drawn, f"predicted{number}", caption))
    return Section("measured", "Measured and predicted", blocks)
