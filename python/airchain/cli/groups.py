"""The help of the command line: commands in the order of the job, none cut short."""

from __future__ import annotations

import click

#: Commands by what they are for, in the order of the job.
SECTIONS: dict[str, tuple[str, ...]] = {
    "Find the words": ("glossary", "keys", "notebooks"),
    "Begin": ("sketch",),
    "Compute a build": ("pull", "timed", "stations", "drive", "ladder"),
    "Try many combinations": ("sweep", "best", "moves"),
    "Read a dyno's log": ("check", "read", "correct", "compare"),
    "Hold build and log together": ("reconcile", "predict", "explain", "diagnose"),
    "Choose the parts": ("choose", "plan", "fuel"),
    "Run it and hand over": ("daysheet", "calibrate", "report", "page"),
    "Take it to the track": ("weather", "track"),
    "Go on later": ("regear",),
    "Look after the program": ("cache",),
}


class JobGroup(click.Group):
    """A group that lists its commands in the order of the job."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the commands in the order of the job."""
        return [name for names in SECTIONS.values() for name in names if name in self.commands]

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the commands under what they are for, each with its whole first sentence."""
        for title, names in SECTIONS.items():
            rows = [
                (name, _first_sentence(self.commands[name]))
                for name in names
                if name in self.commands
            ]
            with formatter.section(title):
                formatter.write_dl(rows)


def _first_sentence(command: click.Command) -> str:
    paragraph = (command.help or "").strip().split("\n\n")[0]
    return " ".join(paragraph.split())
