"""How much memory is free, asked before work that needs much of it."""

from __future__ import annotations

import os
from math import inf

#: Places of a control group's limit and use [bytes].
_GROUP = ("/sys/fs/cgroup/memory.max", "/sys/fs/cgroup/memory.current")


def free_memory() -> float:
    """Return the memory that new work may take [bytes]; infinite where the system does not say."""
    return min(_of_machine(), _of_group())


def _of_machine() -> float:
    try:
        with open("/proc/meminfo", encoding="ascii") as stream:
            rows = dict(line.split(":", 1) for line in stream)
        return 1024.0 * float(rows["MemAvailable"].split()[0])
    except (OSError, ValueError, KeyError, IndexError):
        pass
    try:
        return float(os.sysconf("SC_PHYS_PAGES")) * float(os.sysconf("SC_PAGE_SIZE"))
    except (AttributeError, OSError, ValueError):
        return inf


def _of_group() -> float:
    try:
        limit, used = (float(_first_line(place)) for place in _GROUP)
    except (OSError, ValueError):
        return inf
    return max(limit - used, 0.0)


def _first_line(place: str) -> str:
    with open(place, encoding="ascii") as stream:
        return stream.readline()
