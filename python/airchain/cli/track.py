"""Commands for the track: the levels on other days, and what the tyres take."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

import click

from .first_word import begins
from .options import (
    AS_CSV,
    BUILD_FILE,
    UNITS,
    check_figure,
    figure_option,
    load_build,
    made_folder,
    print_data,
    save_figure,
    say_written,
    tell,
)

if TYPE_CHECKING:
    from ..plan.request import Day
    from ..plan.weather import WeatherBands

__all__ = ["TRACK_COMMANDS"]


@click.command()
@BUILD_FILE
@click.option(
    "--day",
    "typed_days",
    multiple=True,
    metavar="NAME:KEY=VALUE,...",
    help='Such as "the pass: altitude=6000 ft, temperature=85 degF, humidity=20 %". May be '
    "repeated.",
)
@click.option("--days", "table", type=click.Path(), help="A table of days, a row each, in CSV.")
@AS_CSV
@figure_option("power, boost and charge temperature with a band over the days")
@UNITS
@begins
def weather(file: str, typed_days: tuple[str, ...], table: str | None, as_csv: bool,
            figure: str | None, system: str) -> None:  # fmt: skip
    """Print every level on other days, against the day of the build file.

    Without --day and --days on those of the file's [plan.weather].
    """
    from ..base.progress import telling
    from ..plan.days import asked_day, read_days
    from ..plan.weather import weather_bands

    check_figure(figure)
    asked = dict(_day(text) for text in typed_days)
    build = load_build(file)
    if not asked and table is None and "plan" not in build.source.file.data:
        raise click.UsageError("say --day or --days: the build file has no [plan.weather]")
    days: dict[str, Day] = {} if table is None else read_days(table, build)
    days |= {name: asked_day(build, name, values) for name, values in asked.items()}
    with telling("levels on other days", "days") as progress:
        bands = weather_bands(build, days or None, progress=progress)
    tell(bands, system, tables=not as_csv)
    if as_csv:
        print_data(_csv(bands))
    if figure is not None:
        save_figure(bands.plot(system=system), figure)


def _day(text: str) -> tuple[str, dict[str, str]]:
    name, colon, rest = text.partition(":")
    pairs = [pair.partition("=") for pair in rest.split(",") if pair.strip()]
    if not (name.strip() and colon and pairs and all(equals for _, equals, _ in pairs)):
        raise click.UsageError(f"--day {text}: must be NAME: KEY=VALUE, KEY=VALUE")
    return name.strip(), {key.strip(): value.strip() for key, _, value in pairs}


def _csv(bands: WeatherBands) -> str:
    """Every column of every level on every day, SI, its unit in the heading."""
    from ..shown.columns import columns

    target = io.StringIO()
    writer = csv.writer(target, lineterminator="\n")
    known = columns()
    names = [n for n in known if n in next(iter(bands.days.values())).steps[0].pull.columns]
    names = [n for n in names if n not in ("status", "flags", "engine_speed")]
    units = [known[n].unit for n in names]
    headings = [n if u == "1" else f"{n} [{u}]" for n, u in zip(names, units, strict=True)]
    writer.writerow(["day", "level", "rpm", "status", *headings])
    for day, steps in bands.days.items():
        for step in steps.steps:
            for i, (rpm, status) in enumerate(zip(step.pull.rpm, step.pull.status, strict=True)):
                cells = [f"{float(step.pull.columns[n][i]):.12g}" for n in names]
                writer.writerow([day, step.name, f"{rpm:.12g}", status, *cells])
    return target.getvalue()


@click.command()
@BUILD_FILE
@click.option("--surface", help="One of the vehicle's surfaces; its first without it.")
@click.option("--distance", help='Length of the run, such as "660 ft"; the vehicle\'s without it.')
@click.option("--csv", "as_csv", is_flag=True, help="Print torque over time and gear instead of "
              "the tables, comma-separated, in SI.")  # fmt: skip
@click.option("-o", "--output", type=click.Path(), help="Write that table to this .csv file.")
@click.option("--figures", type=click.Path(), help="Write the pictures to this folder.")
@UNITS
@begins
def track(file: str, surface: str | None, distance: str | None, as_csv: bool, output: str | None,
          figures: str | None, system: str) -> None:  # fmt: skip
    """Print what the tyres take of each level, its runs, and the torque that must be taken back."""
    from ..base.text_file import checked_target
    from ..track.driving import track_runs

    folder = None if figures is None else made_folder("track", figures)
    if output is not None:
        checked_target(output, ".csv")
    page = track_runs(load_build(file), surface=surface, distance=distance)
    tell(page, system, tables=not as_csv)
    if as_csv:
        print_data(page.csv())
    if output is not None:
        say_written(page.write(output))
    if folder is not None:
        pictures = {"wheel_torque": page.plot, "runs": page.plot_runs,
                    "torque_held": page.plot_management}  # fmt: skip
        for name, plot in pictures.items():
            save_figure(plot(system=system), str(folder / f"{name}.png"))
    if not any(one.low.finished or one.managed.finished for one in page.levels.values()):
        raise click.ClickException("No run comes to its end. See above why.")


TRACK_COMMANDS = (weather, track)
