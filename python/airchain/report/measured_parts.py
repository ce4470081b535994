"""The parts that hold measurement against computation: weather, fits, predictions and pulls."""

from __future__ import annotations

from ..chain.level_looks import looks_by_name
from ..faults.diagnosis import Diagnosis
from ..measured.plots import SHOWN, draw_pulls
from ..shown.standing_words import FAULT_WORDS, FIT_WORDS
from .blocks import Section, bullets, figure, heading, tell, words
from .material import Material


def weather(material: Material) -> Section | None:
    """Every level on the coldest and the hottest day, beside standard and chain."""
    if material.weather is None:
        return None
    caption = "Bands from the lowest to the highest day: thick the day as typed, thin the edges."
    drawn = figure(material.weather.plot(system=material.system, title=""), "weather", caption)
    texts = tell(material.weather, material.system)
    return Section("weather", "From the coldest to the hottest day", [drawn, *texts])


def measured(material: Material) -> Section | None:
    """The fit, and every prediction beside the pull that was then run."""
    if material.fit is None and not material.comparisons and not material.pulls:
        return None
    blocks = []
    if material.pulls:
        looks = looks_by_name(material.pulls, material.build)
        drawn = draw_pulls(material.pulls, None, material.system, "", SHOWN, looks)
        blocks.append(figure(drawn, "pulls_measured", "The pulls as they were measured."))
        blocks += bullets(
            pull.verdict if pull.name.startswith(name) else f"{name}: {pull.verdict}"
            for name, pull in material.pulls.items()
        )
    if material.fit is not None:
        drawn = material.fit.plot_residuals(system=material.system)
        blocks += [words(FIT_WORDS), heading("The fit"), *tell(material.fit, material.system)]
        blocks.append(figure(drawn, "residuals", "Readings less fitted chain."))
    for number, comparison in enumerate(material.comparisons):
        title = comparison.prediction.title
        caption = f"{title}: 90 % band, and the pull that was run."
        drawn = comparison.plot(system=material.system)
        blocks += [
            heading(title),
            *tell(comparison, material.system),
            *bullets(comparison.prediction.notes),
        ]
        blocks.append(figure(drawn, f"predicted{number}", caption))
        if number in material.diagnoses:
            blocks += _wrong(title, material.diagnoses[number], material.system)
    return Section("measured", "Measured and predicted", blocks)


def _wrong(title: str, diagnosis: Diagnosis, system: str) -> list[str]:
    """What is wrong with a pull that does not agree: faults by name, and what would decide."""
    return [
        heading(f"{title.removesuffix(', predicted')}: what is wrong with the pull"),
        words(FAULT_WORDS),
        *tell(diagnosis, system),
    ]
