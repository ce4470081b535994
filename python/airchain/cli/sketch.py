"""The command that begins: a build file from what is known at the first call."""

from __future__ import annotations

from typing import Any

import click

from .log_options import Command
from .options import print_data, say, say_notes, say_written, tell

__all__ = ["sketch"]

#: What may be told, in the order in which a builder tells it, with an example.
_FACTS = {
    "bore": '"4.125 in"',
    "stroke": '"4.00 in"',
    "displacement": '"427 in^3"',
    "cylinders": "8",
    "compression_ratio": "9.5",
    "redline": '"7200 rpm"',
    "power": '"540 hp at 6200 rpm, 515 hp at 7000 rpm", best of today and that at redline, '
    "naturally aspirated",
    "torque": '"480 lb ft at 4800 rpm", best of today',
    "intake_duration": '"236 deg" at 0.050 in',
    "exhaust_duration": '"242 deg" at 0.050 in',
    "intake_valve_diameter": '"2.10 in"; with it, the exhaust valve and both durations cams are '
    "written",
    "exhaust_valve_diameter": '"1.65 in"',
    "lobe_separation": '"112 deg"',
    "valve_lift": '"0.62 in", at the valve',
    "inducer_diameter": '"108 mm", of the compressor',
    "exducer_diameter": '"200 mm"',
    "rotor_speed_limit": '"46000 rpm"',
    "step_up": "4.75, inside the compressor",
    "rated_flow": '"140 lb/min"',
    "exit_width": '"8.4 mm", height of the blades at the rim',
    "tooth_sum": "73, that the centres take",
    "coolant_temperature": '"65 degF"',
    "barometer": '"29.2 inHg"',
    "temperature": '"77 degF"',
    "humidity": '"45 %"',
}
_WORDS = {
    "fuel": ("gasoline_premium", "A generic fuel."),
    "standard": ("sae_j1349", "What today's power is corrected to, or as_measured."),
    "cooler": ("air_to_water", "none, air_to_air, air_to_water or ice_tank."),
    "drive": ("gears", "gears or belt."),
    "units": ("", "trade or si; those of the engine's size unless told."),
}


def _options(command: Command) -> Command:
    for name, (usual, words) in reversed(_WORDS.items()):
        text = f"{words} {usual} unless told." if usual else words
        command = click.option(f"--{name}", help=text)(command)
    for name, example in reversed(_FACTS.items()):
        flag = f"--{name.replace('_', '-')}"
        command = click.option(flag, help=f"Such as {example}.")(command)
    return command


@click.command()
@click.argument("name")
@_options
@click.option(
    "--level",
    "levels",
    multiple=True,
    metavar="NAME=AIM",
    help='A level and its aim: tame="700 hp", middle="9 psi", full=40:33. May be repeated.',
)
@click.option(
    "-o", "--output", type=click.Path(), help="Write the build file here; else it is printed."
)
@click.option("--again", is_flag=True, help="Write over a file that is there, and lose it.")
def sketch(
    name: str, levels: tuple[str, ...], output: str | None, again: bool, **told: str | None
) -> None:
    """Sketch a whole build file from a few numbers, every guess with its doubt."""
    from ..sketching.beginning import sketch as sketched

    if output is not None:
        from ..base.text_file import checked_target

        if checked_target(output, ".toml").exists() and not again:
            raise click.UsageError(f"{output}: is there; --again writes over what was typed in it")
    given: dict[str, Any] = {k: _plain(v) for k, v in told.items() if v is not None}
    given["levels"] = dict(_aim(text) for text in levels)
    made = sketched(name, **given)
    system = made.model.facts.system
    if output is None:
        say(made.verdict)
        print_data(made.file)
        say_notes(made.notes)
        return
    made.save(output)
    tell(made, system)
    say_written(output)


def _aim(text: str) -> tuple[str, str | float]:
    name, equals, aim = text.partition("=")
    if not (name.strip() and equals and aim.strip()):
        raise click.UsageError(f'--level {text}: must be NAME=AIM, such as tame="700 hp"')
    return name.strip(), _plain(aim.strip())


def _plain(text: str) -> str | float:
    """A plain number where it is one."""
    try:
        return float(text)
    except ValueError:
        return text
