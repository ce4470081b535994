"""A bounded store of what is slow to make, by what it was made of; safe to share among threads."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from threading import Lock
from typing import Generic, TypeVar

__all__ = ["Kept"]

Value = TypeVar("Value")


class Kept(Generic[Value]):
    """What was made last, by its inputs; the one that was not asked for longest goes first.

    Parameters
    ----------
    most : int
        How many are kept at most [dimensionless], at least 1.
    """

    def __init__(self, most: int) -> None:
        self._most = most
        self._values: OrderedDict[Hashable, Value] = OrderedDict()
        self._lock = Lock()

    def get(self, key: Hashable, make: Callable[[], Value]) -> Value:
        """Return what belongs to a key, made now unless it is kept.

        Parameters
        ----------
        key : hashable
            Everything that the value depends on.
        make : callable
            Makes the value; what it raises goes to the caller and nothing is kept.

        Returns
        -------
        object
            The value; threads that ask at once for the same key get the same one.
        """
        with self._lock:
            if key in self._values:
                self._values.move_to_end(key)
                return self._values[key]
        made = make()  # outside the lock, so that other keys need not wait
        with self._lock:
            value = self._values.setdefault(key, made)
            self._values.move_to_end(key)
            while len(self._values) > self._most:
                self._values.popitem(last=False)
            return value

    def __len__(self) -> int:
        with self._lock:
            return len(self._values)
