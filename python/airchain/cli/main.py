"""The command line: data to standard output, words to standard error.

Exit codes: 0 done, 1 a build or a model was refused, 2 wrong usage, 130 interrupted, 143 ended.
"""

from __future__ import annotations

import os
import signal
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType
from typing import NoReturn

from ..base.errors import InputError
from ..base.extras import EXTRAS, extra
from ..base.safe_text import safe

try:
    extra("click")
except ModuleNotFoundError as missing:
    sys.exit(f"airchain: {missing}")
import click

from .build import BUILD_COMMANDS
from .cache import CACHE_COMMANDS
from .choose import choose
from .fits import FIT_COMMANDS
from .fuel import FUEL_COMMANDS
from .groups import JobGroup
from .logs import LOG_COMMANDS
from .notebooks import notebooks
from .options import say
from .page import page
from .plan import plan
from .regear import regear
from .report import daysheet, report
from .sketch import sketch
from .sweeps import SWEEP_COMMANDS
from .track import TRACK_COMMANDS
from .words import WORD_COMMANDS

__all__ = ["cli", "main"]

_ENDED = 128 + signal.SIGTERM


@click.group(cls=JobGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="airchain")
@click.option("--debug", is_flag=True, help="Show where in the code an error arose.")
def cli(debug: bool) -> None:
    """Compute the air of a supercharged engine, from the weather to the cylinder.

    Each command has help of its own, such as: airchain pull -h
    """


for _command in (
    sketch, *BUILD_COMMANDS, *SWEEP_COMMANDS, *LOG_COMMANDS, *FIT_COMMANDS, plan, choose, regear,
    *FUEL_COMMANDS, *TRACK_COMMANDS, daysheet, report, page, *WORD_COMMANDS, notebooks,
    *CACHE_COMMANDS,
):  # fmt: skip
    cli.add_command(_command)


def main(arguments: list[str] | None = None) -> None:
    """Run the command line and exit.

    Parameters
    ----------
    arguments : list of str, optional
        The words typed; those of the process without it.
    """
    arguments = sys.argv[1:] if arguments is None else arguments
    try:
        with _ends_cleanly(), _refusals("--debug" in arguments):
            code = cli.main(arguments, prog_name="airchain", standalone_mode=False)
    except click.UsageError as error:
        error.show(file=sys.stderr)
        code = error.exit_code
    except click.ClickException as error:
        say(f"Error: {error.format_message()}")
        code = error.exit_code
    except (KeyboardInterrupt, click.Abort):
        say("interrupted")
        code = 130
    except BrokenPipeError:
        code = _give_up_output()
    sys.exit(code if isinstance(code, int) else 0)


@contextmanager
def _ends_cleanly() -> Iterator[None]:
    """Let a request to end run through what is to be put away, half-written files among it."""

    def leave(number: int, frame: FrameType | None) -> NoReturn:
        raise SystemExit(_ENDED)

    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGTERM, leave)
    try:
        yield
    finally:
        signal.signal(signal.SIGTERM, before)


@contextmanager
def _refusals(debug: bool) -> Iterator[None]:
    """Turn refusals and missing extras into text."""
    try:
        yield
    except (click.ClickException, click.Abort, BrokenPipeError):
        raise
    except ModuleNotFoundError as error:
        if debug or (error.name or "") not in EXTRAS:
            raise
        raise click.ClickException(str(error)) from error
    except Exception as error:
        if debug:
            raise
        text = safe(str(error))
        if not isinstance(error, InputError | OSError):
            text = f"unexpected {type(error).__name__}: {text}; --debug shows where it arose"
        raise click.ClickException(text) from error


def _give_up_output() -> int:
    # The reader of a pipe has left; Python would complain once more while it shuts down.
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return 1
