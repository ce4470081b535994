"""Commands that explain words: the glossary, and the keys of a build file."""

from __future__ import annotations

import click

from .options import UNITS, tell

__all__ = ["WORD_COMMANDS"]


@click.command()
@click.argument("word", required=False)
@UNITS
def glossary(word: str | None, system: str) -> None:
    """Print the one word for each quantity: its meaning, its unit, and where it is measured.

    With WORD only the entries that hold it, such as: airchain glossary temperature
    """
    from ..shown.glossary import glossary as whole

    tell(whole() if word is None else whole().about(word), system)


@click.command()
@click.argument("table", required=False)
@UNITS
def keys(table: str | None, system: str) -> None:
    """Print what may stand in a build file: unit, range, default and meaning of every key.

    With TABLE only that table, such as: airchain keys engine.camshaft
    """
    from .key_tables import key_tables

    tell(key_tables(table), system)


WORD_COMMANDS = (glossary, keys)
