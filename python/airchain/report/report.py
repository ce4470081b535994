"""The report of a build: one page for its owner, then the engineer's; as HTML and as PDF."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ..base.errors import quoted, refusal
from ..base.extras import extra
from ..base.text_file import write_bytes
from ..chain.ladders import Ladder, ladder
from .pdf import as_pdf, checked_paper, weasyprint

__all__ = ["Report", "make_report", "report_html", "whole_report", "write_report"]


@dataclass(frozen=True)
class Report:
    """A report that was made.

    Attributes
    ----------
    html : str
        The document: complete in itself, for the screen and for A4 or Letter, legible in grey.
    """

    html: str

    def pdf(self, paper: str = "A4") -> bytes:
        """Return the report as PDF.

        Parameters
        ----------
        paper : str
            ``"A4"`` or ``"Letter"``.

        Returns
        -------
        bytes
            The PDF, the same for the same report.

        Raises
        ------
        InputError
            There is no such paper.
        ModuleNotFoundError, OSError
            What sets it is not installed: the extra ``pdf``, or Pango.
        """
        return as_pdf(self.html, paper)

    def write(self, path: str | os.PathLike[str], paper: str = "A4") -> Path:
        """Write the report to a file, in one step.

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


def make_report(
    build: Any,
    steps: Ladder | None = None,
    fit: Any = None,
    comparisons: Sequence[Any] = (),
    *,
    weather: Any = None,
    plan: Any = None,
    fuel: Any = None,
    fuels: Any = None,
    calibration: Any = None,
    pulls: Mapping[str, Any] | None = None,
    system: str = "trade",
) -> Report:
    """Make the report of a build from what is given; what is not is left out.

    Parameters
    ----------
    build : Build
        The build; its file's ``[report]`` names customer, workshop, date and reference.
    steps : Ladder, optional
        The ladder of the build where it was made already.
    fit : Reconciliation, optional
        The fit to measured pulls, where there are any.
    comparisons : sequence of Comparison
        Predictions beside the pulls that were then run.
    weather : WeatherBands, optional
        The levels on the coldest and the hottest day.
    plan : Plan, optional
        Limits, margins, and the order of work.
    fuel : FuelDemand, optional
        The fuel system at every level.
    fuels : FuelComparison, optional
        One level on several fuels.
    calibration : Calibration, optional
        Fuel and spark for all levels.
    pulls : mapping, optional
        Measured pulls by the name they are shown under.
    system : str
        ``"trade"`` or ``"si"``.

    Returns
    -------
    Report
        The report.
    """
    extra("jinja2")
    from .. import __version__
    from .document import render
    from .material import Material

    made = Material(
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
        pulls=pulls or {},
    )
    return Report(render(made, __version__))


def whole_report(
    build: Any,
    fit: Any = None,
    comparisons: Sequence[Any] = (),
    pulls: Mapping[str, Any] | None = None,
    *,
    steps: Ladder | None = None,
    system: str = "trade",
) -> Report:
    """Make the report of a build with every part that its file has the inputs of.

    A table ``[plan]`` brings limits, margins, order of work and the days of its weather, a table
    ``[fuel_system]`` the fuel system at every level; the calibration needs neither.

    Parameters
    ----------
    build : Build
        The build.
    fit : Reconciliation, optional
        A fit to measured pulls: plan and calibration then rest on it.
    comparisons : sequence of Comparison
        Predictions beside the pulls that were then run.
    pulls : mapping, optional
        Measured pulls by level, one or a list each: the calibration's coverage.
    steps : Ladder, optional
        The ladder of the build where it was made already.
    system : str
        ``"trade"`` or ``"si"``.

    Returns
    -------
    Report
        The report.

    Raises
    ------
    InputError
        The plan is refused, or a pull names no level.
    """
    extra("jinja2")
    from .gather import parts_of

    steps = ladder(build) if steps is None else steps
    parts = parts_of(build, steps, fit, pulls or {})
    return make_report(build, steps, fit, comparisons, system=system, **parts)


def write_report(
    build: Any,
    path: str | os.PathLike[str],
    steps: Ladder | None = None,
    fit: Any = None,
    comparisons: Sequence[Any] = (),
    *,
    paper: str = "A4",
    **parts: Any,
) -> Path:
    """Make the report of a build and write it to a file, in one step.

    Parameters
    ----------
    build : Build
        The build.
    path : str or path
        The file, as of `Report.write`; it is refused before anything is computed.
    steps, fit, comparisons, parts
        As of `make_report`.
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
    checked_path(path, paper)
    return make_report(build, steps, fit, comparisons, **parts).write(path, paper)


def report_html(
    build: Any, steps: Ladder | None = None, fit: Any = None, comparisons: Sequence[Any] = ()
) -> str:
    """Return the report of a build as HTML that needs no other file.

    Parameters
    ----------
    build, steps, fit, comparisons
        As of `make_report`.

    Returns
    -------
    str
        The document.
    """
    return make_report(build, steps, fit, comparisons).html


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
    file = Path(path)
    if file.suffix.lower() not in (".html", ".pdf"):
        raise refusal("report", "file", quoted(os.fspath(path)), "end in .html or .pdf")
    if not file.parent.is_dir():
        rule = "be a file that can be written; its folder does not exist"
        raise refusal("", "file", quoted(os.fspath(path), limit=200), rule)
    checked_paper(paper)
    if file.suffix.lower() == ".pdf":
        weasyprint()
    return file
