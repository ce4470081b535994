"""Commands for the fuel side and the calibration of all levels."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from ..base.errors import quoted, refusal
from .combinations import read_axis
from .first_word import begins
from .log_options import log_options
from .options import (
    BUILD_FILE,
    INERTIA,
    UNITS,
    check_figure,
    figure_option,
    load_build,
    save_figure,
    say_written,
    tell,
)
from .readings import pulls_by_level

if TYPE_CHECKING:
    from ..calibration.calibration import Calibration
    from ..calibration.extension import NextRatio

__all__ = ["FUEL_COMMANDS"]


@click.command()
@BUILD_FILE
@click.option("--against", "fuels", multiple=True, help="A generic fuel; may be repeated.")
@click.option("--level", help="Drive level on which fuels are compared.")
@figure_option("duty and margins")
@UNITS
@begins
def fuel(
    file: str, fuels: tuple[str, ...], level: str | None, figure: str | None, system: str
) -> None:
    """Print injector duty, pump margin and lines at every level, and fuels side by side."""
    from ..base.progress import telling
    from ..fuel.demand import fuel_demand
    from ..fuel.fuels import GENERIC, check_fuels, compare_fuels, own_fuel

    check_figure(figure)
    others = fuels or GENERIC
    check_fuels(others)
    build = load_build(file)
    asked = tuple(dict.fromkeys((*own_fuel(build), *others)))
    if level is not None:
        build.level(level)
    demand = fuel_demand(build)
    tell(demand, system)
    with telling("fuels side by side", "fuels") as progress:
        compared = compare_fuels(build, asked, level=level, progress=progress)
    tell(compared, system)
    if figure:
        save_figure(demand.plot(system=system), figure)


@click.command()
@BUILD_FILE
@click.option("-o", "--output", required=True, type=click.Path(), help="Folder to write to.")
@click.option(
    "--pull",
    "logs",
    multiple=True,
    metavar="LEVEL=LOG",
    help="A measured log and its drive level; may be repeated.",
)
@log_options
@INERTIA
@click.option("--fit", type=click.Path(), help="A saved fit that the tables are filled from.")
@click.option("--rpm", metavar="A:B:N", help="Engine speeds of the tables, such as 1000:8000:15.")
@click.option("--pressure", metavar="A:B:N", help='Such as "40 kPa:280 kPa:13", absolute.')
@click.option(
    "--lambda",
    "excess",
    multiple=True,
    metavar="PRESSURE=LAMBDA",
    help='Lambda at a plenum pressure, such as "60 kPa=1.0", straight between; may be repeated.',
)
@click.option("--temperature", help='Plenum temperature of the tables, such as "50 degC".')
@click.option("--next", "ratio", type=float, help="Drive ratio to look ahead to.")
@click.option("--figures", is_flag=True, help="Draw coverage and filling beside the tables.")
@UNITS
@begins
def calibrate(
    file: str, output: str, logs: tuple[str, ...], inertia: str | None, fit: str | None,
    rpm: str | None, pressure: str | None, excess: tuple[str, ...], temperature: str | None,
    ratio: float | None, figures: bool, system: str,
) -> None:  # fmt: skip
    """Write one calibration of fuel and spark for all levels as CSV and JSON."""
    from ..calibration.making import calibrate as calibrated
    from ..fit.saving import read_fit

    build = load_build(file)
    pulls = pulls_by_level(build, logs, inertia)
    source = build if fit is None else read_fit(fit, build)
    tables = calibrated(source, pulls, _axis(rpm), _axis(pressure), _lambdas(excess), temperature)
    tell(tables, system)
    further = tables.next_ratio(ratio) if build.supercharged else None
    if further is not None:
        tell(further, system)
    for path in tables.write(output, _pictures(tables, further, system) if figures else None):
        say_written(path)


FUEL_COMMANDS = (fuel, calibrate)


def _pictures(tables: Calibration, further: NextRatio | None, system: str) -> dict[str, bytes]:
    """Coverage and filling as PNG files by name."""
    from ..shown.figure import as_png

    drawer = tables.plot_coverage if further is None else further.plot
    filling = tables.plot_filling(system=system)
    return {"coverage.png": as_png(drawer(system=system)), "filling.png": as_png(filling)}


def _lambdas(texts: tuple[str, ...]) -> dict[str, float] | None:
    """Read PRESSURE=LAMBDA."""
    ratios: dict[str, float] = {}
    for text in texts:
        pressure, _, value = text.rpartition("=")
        try:
            number = float(value)
        except ValueError:
            pressure = ""
        if not pressure.strip() or pressure in ratios:
            rule = 'be a pressure, = and a number, such as "60 kPa=1.0", each pressure once'
            raise refusal("calibrate", "lambda", quoted(text), rule)
        ratios[pressure] = number
    return ratios or None


def _axis(text: str | None) -> list[str | float] | None:
    """Read A:B:N or values parted by commas."""
    return None if text is None else read_axis(f"axis={text}")[1]
