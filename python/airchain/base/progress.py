"""How long work tells how far it is: one adapter for the whole package."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TextIO

#: Called with what is done and what there is in all, both dimensionless counts.
Progress = Callable[[int, int], None]

#: Work that lasts no longer than this tells nothing; a command took the first second to start [s].
PATIENCE = 1.0
#: A pace that was seen for a shorter time is no ground for what the rest takes [s].
_PACE = 2.0
#: A rest that is shorter is not told [s].
_WORTH_TELLING = 5.0
#: Between two messages where no line can be written over [s], and on a terminal [s].
_BETWEEN = {False: 10.0, True: 0.2}


@contextmanager
def telling(
    what: str, of: str = "points", stream: TextIO | None = None, alike: bool = True
) -> Iterator[Progress]:
    """Tell on standard error how far some work is, once it has lasted a second.

    On a terminal one line is written over and over, and taken away at the end. Elsewhere a line is
    written every ten seconds. An interrupt goes through to the caller.

    Parameters
    ----------
    what : str
        The work, as the message begins.
    of : str
        What is counted, in the plural.
    stream : text stream, optional
        Where to write; standard error unless given.
    alike : bool
        Whether one takes about as long as another. Else neither a share nor the time that the
        rest takes is told: nobody knows them.

    Yields
    ------
    Progress
        To be called with what is done and what there is in all.

    Examples
    --------
    >>> with telling("squares", "numbers") as progress:
    ...     for number in range(3):
    ...         progress(number + 1, 3)
    """
    teller = _Told(what, of, sys.stderr if stream is None else stream, alike)
    try:
        yield teller
    finally:
        teller.end()


@contextmanager
def announced(
    words: str, what: str, of: str = "points", stream: TextIO | None = None
) -> Iterator[Progress]:
    """Say on standard error what is done first, then tell how far it is as `telling` does.

    Parameters
    ----------
    words : str
        A sentence, written at once.
    what, of : str
        As for `telling`.
    stream : text stream, optional
        Where to write; standard error unless given.

    Yields
    ------
    Progress
        To be called with what is done and what there is in all.
    """
    where = sys.stderr if stream is None else stream
    where.write(f"{words}\n")
    where.flush()
    with telling(what, of, where) as progress:
        yield progress


def relay(progress: Progress | None, before: int, total: int) -> Callable[[int], None] | None:
    """Return what the core calls with the points done of one run among several.

    Parameters
    ----------
    progress : Progress or None
        What is told of all runs.
    before, total : int
        Points of the runs before, and of all of them, dimensionless.

    Returns
    -------
    callable or None
        What the core calls; None where nobody listens.
    """
    if progress is None:
        return None
    return lambda done: progress(before + done, total)


class _Told:
    """When a message was written last, and how long it was."""

    def __init__(self, what: str, of: str, stream: TextIO, alike: bool) -> None:
        self.what, self.of, self.stream, self.alike = what, of, stream, alike
        self.terminal = stream.isatty()
        self.begun = time.monotonic()
        self.next = self.begun + PATIENCE
        self.first: tuple[float, int] | None = None
        self.width = 0

    def __call__(self, done: int, total: int) -> None:
        now = time.monotonic()
        if self.first is None:
            # What was done by an earlier run says nothing of this one's speed.
            self.first = (self.begun, 0) if done * 20 < total else (now, done)
        if now < self.next:
            return
        self.next = now + _BETWEEN[self.terminal]
        share = 100 * done // total if total else 100
        line = f"{self.what}: {f'{share} %, ' if self.alike else ''}{done:,} of {total:,} {self.of}"
        line += self._left(now, done, total) if self.alike else ""
        if self.terminal:
            self.stream.write(f"\r{line.ljust(self.width)}")
            self.width = len(line)
        else:
            self.stream.write(f"{line}\n")
        self.stream.flush()

    def _left(self, now: float, done: int, total: int) -> str:
        """How long the rest takes at the pace so far, where it is long enough to tell."""
        assert self.first is not None
        begun, before = self.first
        if done <= before or now - begun < _PACE:
            return ""
        left = (now - begun) * (total - done) / (done - before)
        if left < _WORTH_TELLING:
            return ""
        return f", some {left:.0f} s left" if left < 90.0 else f", some {left / 60.0:.0f} min left"

    def end(self) -> None:
        """Take the line away from a terminal."""
        if self.width:
            self.stream.write(f"\r{' ' * self.width}\r")
            self.stream.flush()
            self.width = 0
