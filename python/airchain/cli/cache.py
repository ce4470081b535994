"""The command that shows and empties the folder in which long work is kept."""

from __future__ import annotations

import time

import click

from ..base import cache as kept
from ..shown.tables import Shown, Table
from .options import UNITS, say, tell

__all__ = ["CACHE_COMMANDS"]


class _Kept(Shown):
    """What the folder holds."""

    def __init__(self) -> None:
        self.entries = kept.entries()

    @property
    def verdict(self) -> str:
        """How many files of what size, and the limit."""
        size = sum(one.size for one in self.entries)
        files = "file" if len(self.entries) == 1 else "files"
        return (
            f"{kept.folder()}: {len(self.entries)} {files}, {size / 1e6:.1f} of at most "
            f"{kept.limit() / 1e6:g} MB"
        )

    @property
    def notes(self) -> list[str]:
        """How it may be changed."""
        return [
            "All of it may be deleted and is made again when it is needed: airchain cache --empty",
            f"{kept.FOLDER} names another folder, {kept.LIMIT} another limit in MB. What was used "
            "longest ago goes first.",
        ]

    def _tables(self, system: str) -> list[Table]:
        if not self.entries:
            return []
        rows = [
            [
                one.words,
                time.strftime("%Y-%m-%d %H:%M", time.localtime(one.used)),
                f"{one.size / 1e3:,.0f}",
                one.path.name,
            ]
            for one in self.entries
        ]
        return [
            Table(["what", "used last", "size", "file"], ["", "", "kB", ""], rows, flush=(0, 3))
        ]


@click.command()
@click.option("--empty", is_flag=True, help="Delete everything in it.")
@UNITS
def cache(empty: bool, system: str) -> None:
    """Show what is kept between runs, breathing surfaces and knock searches, or delete it.

    They save the time to make them again; no figure depends on them.
    """
    if empty:
        gone = kept.empty()
        say(f"{len(gone)} files deleted, {sum(one.size for one in gone) / 1e6:.1f} MB")
        return
    tell(_Kept(), system)


CACHE_COMMANDS = (cache,)
