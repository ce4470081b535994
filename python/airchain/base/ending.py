"""Work in threads stops before the interpreter ends, to which the core could not come back."""

from __future__ import annotations

import atexit
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Condition, Event

#: How long the end of the interpreter waits for work to stop [s].
_PATIENCE = 20.0
_ending = Event()
_running = 0
_changed = Condition()


def go_on() -> None:
    """Leave work that runs in a thread, silently, once the interpreter ends.

    Raises
    ------
    SystemExit
        The interpreter ends.
    """
    if _ending.is_set():
        raise SystemExit


@contextmanager
def waited_for() -> Iterator[None]:
    """Let the end of the interpreter wait for some work, which asks `go_on` now and then."""
    global _running
    go_on()
    with _changed:
        _running += 1
    try:
        yield
    except RuntimeError as error:
        # The pools of the standard library take nothing more some moments earlier.
        if "interpreter shutdown" in str(error):
            raise SystemExit from None
        raise
    finally:
        with _changed:
            _running -= 1
            _changed.notify_all()


def _end() -> None:
    _ending.set()
    with _changed:
        _changed.wait_for(lambda: not _running, _PATIENCE)


atexit.register(_end)
