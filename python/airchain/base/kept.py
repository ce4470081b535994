"""A bounded store of what is slow to make, by what it was made of; safe to share among threads."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from threading import Lock
from typing import Generic, TypeVar
from weakref import ReferenceType, ref

__all__ = ["ByIdentity", "Kept"]

Thing = TypeVar("Thing")
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
        new_value = make()  # outside the lock, so that other keys need not wait
        with self._lock:
            value = self._values.setdefault(key, new_value)
            self._values.move_to_end(key)
            while len(self._values) > self._most:
                self._values.popitem(last=False)
            return value

    def __len__(self) -> int:
        with self._lock:
            return len(self._values)


class ByIdentity(Generic[Thing, Value]):
    """What follows from a thing that never changes, made once and kept while the thing lives.

    Parameters
    ----------
    make : callable
        Makes the value of a thing.
    """

    def __init__(self, make: Callable[[Thing], Value]) -> None:
        self._make = make
        self._values: dict[int, tuple[ReferenceType[Thing], Value]] = {}

    def get(self, thing: Thing) -> Value:
        """Return what follows from a thing.

        Parameters
        ----------
        thing : object
            The thing; others that are equal count as others.

        Returns
        -------
        object
            The value.
        """
        key = id(thing)
        entry = self._values.get(key)
        if entry is not None and entry[0]() is thing:
            return entry[1]
        value = self._make(thing)

        def forget(gone: ReferenceType[Thing]) -> None:
            # Another thing may stand at the same place by now.
            if (now := self._values.get(key)) is not None and now[0] is gone:
                del self._values[key]

        self._values[key] = (ref(thing, forget), value)
        return value

    def __len__(self) -> int:
        return len(self._values)
