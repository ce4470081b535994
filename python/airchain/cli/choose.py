"""The command that chooses a compressor."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from .first_word import begins
from .options import BUILD_FILE, UNITS, load_build, made_folder, print_data, save_figure, tell

if TYPE_CHECKING:
    from ..choosing.candidates import Candidate

__all__ = ["choose"]


@click.command()
@BUILD_FILE
@click.option(
    "--target",
    "targets",
    multiple=True,
    required=True,
    metavar="LEVEL=AIM",
    help='Peak power, torque or boost of a level: tame="700 hp". May be repeated.',
)
@click.option(
    "--candidate",
    "candidates",
    multiple=True,
    metavar="NAME=FILE",
    help="A build file, a sketch's too, whose compressor can be had. May be repeated.",
)
@click.option("--diameters", default="1", help="Sizes of each candidate over its own: 0.95,1,1.05.")
@click.option("--trims", default="1", help="Trims of each candidate, flow over its own: 0.95,1.")
@click.option("--step-ups", default="", help="Step-ups that each can be had with: 4.5,4.75.")
@click.option(
    "--pair",
    "pairs",
    multiple=True,
    metavar="TEETH",
    help="A pair such as 40:33, tried both ways round; the build's own without any.",
)
@click.option(
    "--tolerance",
    type=float,
    default=0.03,
    show_default=True,
    help="How far a level may lie off its target, as a share of it.",
)
@click.option("--surge-margin", type=float, default=0.0, show_default=True, help="Least room.")
@click.option("--figures", type=click.Path(), help="Write a map a candidate to this folder.")
@UNITS
@begins
def choose(file: str, targets: tuple[str, ...], candidates: tuple[str, ...], diameters: str,
           trims: str, step_ups: str, pairs: tuple[str, ...], tolerance: float,
           surge_margin: float, figures: str | None, system: str) -> None:  # fmt: skip
    """Choose a compressor: every candidate on every pair in every weather, ranked with reasons."""
    from ..choosing.candidates import Candidate, family
    from ..choosing.choosing import choose_compressor

    folder = None if figures is None else made_folder("choose", figures)
    build = load_build(file)
    bases: list[Candidate] = []
    for text in candidates:
        name, path = _halves("--candidate", text, "NAME=FILE")
        bases.append(Candidate.of(name, load_build(path), _numbers("--step-ups", step_ups)))
    if not bases:
        bases.append(Candidate.of("its own", build, _numbers("--step-ups", step_ups)))
    sizes, trimmed = _numbers("--diameters", diameters), _numbers("--trims", trims)
    offered = [one for base in bases for one in family(base, sizes, trimmed)]
    aims = dict(_halves("--target", text, "LEVEL=AIM") for text in targets)
    choice = choose_compressor(
        build, aims, offered, pairs=list(pairs) or None, tolerance=tolerance,
        surge_margin=surge_margin,
    )  # fmt: skip
    tell(choice, system)
    for name, why in choice.rejections.items():
        print_data("\n".join((f"\nRejected of {name}:", *(f"- {line}" for line in why))))
    if folder is not None:
        for number, standing in enumerate(choice.ranked, 1):
            if standing.made:
                figure = choice.plot(standing.candidate.name, system)
                save_figure(figure, str(folder / f"candidate_{number}.png"))
    if not choice.found:
        raise click.ClickException("No candidate makes every level. See above what stops each.")


def _halves(option: str, text: str, form: str) -> tuple[str, str]:
    name, equals, value = text.partition("=")
    if not (name.strip() and equals and value.strip()):
        raise click.UsageError(f"{option} {text}: must be {form}")
    return name.strip(), value.strip()


def _numbers(option: str, text: str) -> list[float]:
    try:
        return [float(word) for word in text.split(",") if word.strip()]
    except ValueError:
        raise click.UsageError(f"{option} {text}: must be numbers parted by commas") from None
