"""How many cases fuzzing tried, how many were taken, and what they cost, by class of input."""

from __future__ import annotations

import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass


@dataclass
class Tally:
    """Cases of one class: each is one changed input that is read and, where it is taken, looked at.

    `processor` and `clock` are seconds: of this process, and of the wall.
    """

    name: str
    cases: int = 0
    taken: int = 0
    processor: float = 0.0
    clock: float = 0.0

    def case(self, taken: bool) -> None:
        """Count one case, and whether the input was taken rather than refused."""
        self.cases += 1
        self.taken += taken

    @contextmanager
    def timed(self) -> Iterator[None]:
        """Take the time of a test."""
        begun = time.process_time(), time.perf_counter()
        try:
            yield
        finally:
            self.processor += time.process_time() - begun[0]
            self.clock += time.perf_counter() - begun[1]

    @property
    def row(self) -> tuple[str, int, int, float, float]:
        """What passes from a worker to the process that prints."""
        return self.name, self.cases, self.taken, self.processor, self.clock

    def text(self) -> str:
        """Return the line of a class."""
        share = self.taken / max(self.cases, 1)
        hourly = 3600.0 * self.cases / max(self.processor, 1e-9)
        by_clock = 3600.0 * self.cases / max(self.clock, 1e-9)
        return (f"{self.name:30} {self.cases:>11,} {share:>7.0%} {self.processor:>9,.1f} "
                f"{hourly:>14,.0f} {by_clock:>14,.0f}")  # fmt: skip


def summary(rows: Iterable[tuple[str, int, int, float, float]]) -> list[str]:
    """Return a table of all classes, those of one name together, and their sum."""
    by_name: dict[str, Tally] = {}
    total = Tally("all")
    for name, *numbers in rows:
        for one in (by_name.setdefault(name, Tally(name)), total):
            one.cases += int(numbers[0])
            one.taken += int(numbers[1])
            one.processor += numbers[2]
            one.clock += numbers[3]
    heading = (f"{'fuzzing':30} {'cases':>11} {'taken':>7} {'seconds':>9} {'an hour, core':>14} "
               f"{'by the clock':>14}")  # fmt: skip
    return [heading, *(one.text() for one in (*by_name.values(), total))] if by_name else []
