"""The parts that hold measurement against computation: weather, fits, predictions and pulls."""

from __future__ import annotations

from collections.abc import Sequence

from ..chain.level_looks import looks_by_name
from ..faults.diagnosis import Diagnosis
from ..fit.comparison import Comparison
from ..measured.plots import SHOWN, draw_pulls
from ..shown.standing_words import FAULT_WORDS, FIT_WORDS
from ..shown.tables import Table
from .blocks import Section, bullets, figure, heading, named_tables, table, tell, words
from .material import Material


def weather(material: Material) -> Section | None:
    """Every level brought to a reference weather; the hand-over shows the days."""
    if material.weather is None:
        return None
    tables = named_tables(material.weather, material.system)
    # The hand-over shows the days side by side; what they are by the standards is looked up here.
    blocks = [block for one in tables[2:] or tables[1:] for block in table(one)]
    blocks += bullets(material.weather.notes)
    return Section("weather", "From the coldest to the hottest day", blocks, tables=tables)


def measured(material: Material) -> Section | None:
    """The fit, and every prediction beside the pull that was then run."""
    if material.fit is None and not material.comparisons and not material.pulls:
        return None
    pictures, blocks = _readings(material)
    tables: list[Table] = []
    if material.fit is not None:
        fitted = [_in_words(one) for one in named_tables(material.fit, material.system)]
        blocks += [words(FIT_WORDS), heading("The fit")]
        blocks += [block for one in fitted for block in table(one)]
        blocks += bullets(material.fit.notes)
        tables += fitted
    blocks += pictures
    drawn_beside, common = [], _said_of_all(material.comparisons)
    for number, comparison in enumerate(material.comparisons):
        title = comparison.prediction.title
        caption = f"{title}: 90 % band, and the pull that was run."
        blocks += [heading(title), *_first(comparison, material.system)]
        blocks += bullets(note for note in _notes(comparison) if note not in common)
        beside = "pair" if len(material.comparisons) > 1 else ""
        picture = comparison.plot(system=material.system)
        drawn_beside.append(figure(picture, f"predicted{number}", caption, beside))
        tables += named_tables(comparison, material.system)
        if number in material.diagnoses:
            blocks += _wrong(title, material.diagnoses[number], material.system)
    blocks += [words("Of every prediction:")] if common else []
    blocks += [*bullets(common), *drawn_beside]
    return Section("measured", "Measured and predicted", blocks, tables=tables)


def _in_words(fitted: Table) -> Table:
    """The table of a fit with its unknowns in words, not as they are typed."""
    rows = [[row[0].replace("_", " "), *row[1:]] for row in fitted.rows]
    return fitted._replace(rows=rows)


def _notes(comparison: Comparison) -> list[str]:
    return list(dict.fromkeys((*comparison.notes, *comparison.prediction.notes)))


def _said_of_all(comparisons: Sequence[Comparison]) -> list[str]:
    """Notes that stand once below several comparisons, since each has them."""
    if len(comparisons) < 2:
        return []
    first, *others = (_notes(comparison) for comparison in comparisons)
    return [note for note in first if all(note in notes for notes in others)]


def _first(comparison: Comparison, system: str) -> list[str]:
    """The verdict and the tables; what is to be said of all comparisons stands once, below."""
    tables = named_tables(comparison, system)
    return [block for one in tables for block in table(one)] or [words(comparison.verdict)]


def _readings(material: Material) -> tuple[list[str], list[str]]:
    """Return pictures of the pulls and of the fit's residuals, and what is said of the pulls."""
    drawn = {}
    if material.pulls:
        looks = looks_by_name(material.pulls, material.build)
        picture = draw_pulls(material.pulls, None, material.system, "", SHOWN, looks)
        drawn["pulls_measured"] = picture, "The pulls as they were measured."
    if material.fit is not None:
        picture = material.fit.plot_residuals(system=material.system)
        drawn["residuals"] = picture, "Readings less fitted chain."
    beside = "pair" if len(drawn) > 1 else ""
    told = bullets(
        pull.verdict if pull.name.startswith(name) else f"{name}: {pull.verdict}"
        for name, pull in material.pulls.items()
    )
    return [figure(one, name, text, beside) for name, (one, text) in drawn.items()], told


def _wrong(title: str, diagnosis: Diagnosis, system: str) -> list[str]:
    """What is wrong with a pull that does not agree: faults by name, and what would decide."""
    return [
        heading(f"{title.removesuffix(', predicted')}: what is wrong with the pull"),
        words(FAULT_WORDS),
        *tell(diagnosis, system),
    ]
