"""The report of a build: its owner's hand-over, the workshop's book, and all tables as files."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING

from ..base.errors import quoted, refusal
from ..base.extras import extra
from ..base.progress import announced, telling
from ..base.text_file import checked_target, write_bytes
from ..chain.build_words import breathing_words
from ..chain.ladders import Ladder, ladder
from .pdf import as_pdf, checked_paper, weasyprint
from .table_files import TableFiles

if TYPE_CHECKING:
    from ..calibration.calibration import Calibration
    from ..chain.build import Build
    from ..fit.comparison import Comparison
    from ..fit.reconciliation import Reconciliation
    from ..fuel.demand import FuelDemand
    from ..fuel.fuels import FuelComparison
    from ..plan.plan import Plan
    from ..plan.weather import WeatherBands
    from ..track.page import TrackPage
    from .gather import PullsByLevel

__all__ = ["Document", "Report", "checked_path", "make_report"]


@dataclass(frozen=True)
class Document:
    """A document of a report, complete in itself.

    Attributes
    ----------
    html : str
        The document, for the screen and for A4 or Letter, legible in grey.

    Examples
    --------
    >>> report = make_report(build, complete=False)
    >>> report.owner.write("hand_over.html").name
    'hand_over.html'
    """

    html: str

    def pdf(self, paper: str = "A4") -> bytes:
        """Return the document as PDF.

        Parameters
        ----------
        paper : str
            ``"A4"`` or ``"Letter"``.

        Returns
        -------
        bytes
            The PDF, the same for the same document.

        Raises
        ------
        InputError
            There is no such paper.
        ModuleNotFoundError, OSError
            What sets it is not installed: the extra ``pdf``, or Pango.
        """
        with announced("The report is set as a PDF: this takes a while.", "PDF"):
            return as_pdf(self.html, paper)

    def write(self, path: str | os.PathLike[str], paper: str = "A4") -> Path:
        """Write the document to a file, in one step.

        Parameters
        ----------
        path : str or path
            The file; PDF where it ends in ``.pdf``, HTML where in ``.html``. One that is there
            is replaced, and stays if anything fails.
        paper : str
            ``"A4"`` or ``"Letter"``, of a PDF.

        Returns
        -------
        pathlib.Path
            The file.

        Raises
        ------
        InputError
            The name ends otherwise, or the file cannot be written.
        """
        wanted = checked_path(path, paper)
        write_bytes(path, self.pdf(paper) if wanted.suffix.lower() == ".pdf" else self.html)
        return wanted


@dataclass(frozen=True)
class Report:
    """A report that was made: two documents and every table, all of one set of numbers.

    Attributes
    ----------
    owner : Document
        What is handed over with the engine: page 1, measured against predicted, the nearest
        limits, the order of work to tick, weather, and what the words mean.
    workshop : Document
        What those who work on the engine look up: stations, map, drive, cylinder, knock, fuel,
        plan, fit, inputs and sources.
    tables : TableFiles
        Every table of the report, printed or not, to be written as files.
    build : Build
        The build that all of it stands on, on its highest level.
    """

    owner: Document
    workshop: Document
    tables: TableFiles
    build: Build

    def write_live(self, path: str | os.PathLike[str]) -> Path:
        """Write the report's pictures as a page with sliders, in a file of its own.

        Parameters
        ----------
        path : str or path
            The file; its name ends in ``.html``. It opens by a double click, without network.

        Returns
        -------
        pathlib.Path
            The file.

        Raises
        ------
        InputError
            The file cannot be written.
        """
        from ..live.page import write_page

        return write_page(self.build, path)


def make_report(
    build: Build,
    fit: Reconciliation | None = None,
    comparisons: Sequence[Comparison] = (),
    pulls: PullsByLevel | None = None,
    *,
    steps: Ladder | None = None,
    plan: Plan | None = None,
    weather: WeatherBands | None = None,
    fuel: FuelDemand | None = None,
    fuels: FuelComparison | None = None,
    calibration: Calibration | None = None,
    track: TrackPage | None = None,
    complete: bool = True,
    print_tables: bool = False,
    live: str = "",
    system: str = "trade",
    progress: Callable[[int, int], None] | None = None,
) -> Report:
    """Make a hand-over for the owner and a book for the workshop, of all that is known of a build.

    The report has every part that the build file has the inputs of. A table ``[plan]`` brings
    limits, margins, the order of work and the days of its weather. A table ``[fuel_system]``
    brings the fuel system at every level, and ``[vehicle]`` the track. The calibration needs none
    of them. What was made already may be handed in, and is then not made again.

    Plan, fit and calibration stand on a breathing surface: volumetric efficiency made of cycles
    once. A report that has one of them, as a complete one does, stands on it throughout, and says
    so.

    Parameters
    ----------
    build : Build
        The build; its file's ``[report]`` names customer, workshop, date and reference.
    fit : Reconciliation, optional
        A fit to measured pulls: everything then stands on the build as it was fitted.
    comparisons : sequence of Comparison
        Predictions beside the pulls that were then run.
    pulls : mapping, optional
        Measured pulls by level, one or a sequence each: the calibration's coverage.
    steps : Ladder, optional
        The ladder of the build; of `fit.fitted_build()` where there is a fit.
    plan : Plan, optional
        Limits, margins and the order of work.
    weather : WeatherBands, optional
        The levels on the coldest and the hottest day.
    fuel : FuelDemand, optional
        The fuel system at every level.
    fuels : FuelComparison, optional
        One level on several fuels.
    calibration : Calibration, optional
        Fuel and spark for all levels.
    track : TrackPage, optional
        What the tyres take of every level.
    complete : bool
        Whether parts that are not given are made; without it they are left out.
    print_tables : bool
        Whether the workshop's book ends with every table, each on a page of its own.
    live : str
        Name of a file beside the workshop's book, which then links to it: `Report.write_live`
        writes it.
    system : str
        ``"trade"`` or ``"si"``.
    progress : callable, optional
        Called with the number of parts done and of all parts [dimensionless]. Without it, work
        that lasts tells on standard error how far it is.

    Returns
    -------
    Report
        The report.

    Raises
    ------
    InputError
        The plan is refused, a pull names no level, or what is given breathes otherwise than the
        report does or is of another build.
    ModuleNotFoundError
        The extra ``report`` is not installed.
    """
    extra("jinja2")
    from .. import __version__
    from .document import PARTS, render
    from .gather import MADE, by_name, completed
    from .material import Material

    if complete or any(part is not None for part in (fit, plan, calibration)):
        build = build.with_surface()
    if fit is not None and build != fit.fitted_build():
        build = build.changed(fit.factors)
    given = {"steps": steps, "weather": weather, "fuel": fuel, "fuels": fuels, "track": track}
    for name, part in given.items():
        _of_one_build(name, part, build, fit)
    material = Material(
        build,
        ladder(build) if steps is None else steps,
        system=system,
        fit=fit,
        comparisons=comparisons,
        weather=weather,
        plan=plan,
        fuel=fuel,
        fuels=fuels,
        calibration=calibration,
        track=track,
        pulls=by_name(pulls or {}),
    )
    parts = PARTS + (len(MADE) if complete else 0)
    # A plan takes a thousand times as long as a list of cautions; each tells how far it is itself.
    with telling("report", "parts", alike=False) as told:
        done = _counter(parts, told if progress is None else progress)
        if complete:
            material = completed(material, pulls or {}, done)
        owner, workshop, tables = render(material, __version__, done, print_tables, live)
    files = TableFiles(build.name, build.fingerprint, tables)
    highest = material.steps.steps[-1].pull.build
    return Report(Document(owner), Document(workshop), files, highest)


def _of_one_build(
    name: str,
    part: Ladder | WeatherBands | FuelDemand | FuelComparison | TrackPage | None,
    build: Build,
    fit: Reconciliation | None,
) -> None:
    """Refuse a part whose figures would differ from those beside it."""
    if part is None:
        return
    if part.build.fingerprint != build.fingerprint and fit is not None and name != "fuels":
        rule = "be of the build as it was fitted, as the whole report is"
        hint = "make it of fit.fitted_build(), or leave it out"
        raise refusal("report", name, quoted(part.build.title), rule, hint)
    if part.build.breathes == build.breathes:
        return
    rule = f"breathe as the report does, by {breathing_words(build)}"
    hint = "make it of build.with_surface(), or leave it out"
    raise refusal("report", name, breathing_words(part.build), rule, hint)


def _counter(parts: int, progress: Callable[[int, int], None]) -> Callable[[], None]:
    """Return a function that tells, each time it is called, that one part more is done."""
    numbers = count(1)

    def done() -> None:
        number = next(numbers)
        progress(number, parts)

    return done


def checked_path(path: str | os.PathLike[str], paper: str = "A4") -> Path:
    """Return the file of a report, or refuse it before any work.

    Parameters
    ----------
    path : str or path
        The file.
    paper : str
        Paper of a PDF.

    Returns
    -------
    pathlib.Path
        The file.

    Raises
    ------
    InputError
        The name ends neither in ``.html`` nor in ``.pdf``, its folder is none, or there is no
        such paper.
    ModuleNotFoundError, OSError
        A PDF is wanted, and what sets it is not installed.
    """
    file = checked_target(path, ".html", ".pdf")
    checked_paper(paper)
    if file.suffix.lower() == ".pdf":
        weasyprint()
    return file
