"""The first word of a command that lasts."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import ParamSpec

from .options import say

Given = ParamSpec("Given")


def begins(command: Callable[Given, None]) -> Callable[Given, None]:
    """Say which build a command reads before the modules that it needs are imported.

    For commands that last: what they import takes seconds by itself where processors are busy.
    """

    @wraps(command)
    def told(*given: Given.args, **options: Given.kwargs) -> None:
        say(f"Reading {options['file']}")
        command(*given, **options)

    return told
