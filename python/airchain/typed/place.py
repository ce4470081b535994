"""Where typed values stand, a file or the arguments of a call, and what was refused there."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any, ParamSpec, TypeAlias, TypeVar

import numpy as np
from numpy.typing import NDArray

from ..base.errors import InputError, all_of, joined
from ..units.convert import Quantity

Made = TypeVar("Made")
Otherwise = TypeVar("Otherwise")
Given = ParamSpec("Given")

#: A path to a value: keys, and indices into arrays and arrays of tables.
KeyPath = tuple[str | int, ...]

#: A value as people type it: text with a unit, a number, a quantity, or rows and tables of these.
Typed: TypeAlias = (
    "str | float | Quantity | NDArray[np.float64] | Sequence[Typed] | Mapping[str, Typed] | None"
)
#: Typed values by what they are: a name, a key, or a dotted path.
TypedByName: TypeAlias = Mapping[str, Typed]


class NotedError(Exception):
    """Something cannot be made because of what a `Place` has noted as refused already."""


def dotted(path: KeyPath) -> str:
    """A key path as it is written in refusals, list entries counted from 0."""
    return ".".join(str(part) for part in path)


class Place:
    """Where typed values stand. It notes what is refused, so that all of it is told together."""

    #: Whether a bare number is one in SI; else it must have a unit.
    bare_si = False

    def __init__(self) -> None:
        self.errors: list[InputError] = []

    def where(self, path: KeyPath) -> str:
        """What the refusal of a key begins with."""
        raise NotImplementedError

    def name_of(self, path: KeyPath) -> str:
        """What a table is called in refusals."""
        raise NotImplementedError

    def begins(self, path: KeyPath) -> str:
        """Where a table stands and its path, as the refusal of the whole table begins."""
        return joined(self.where(path), dotted(path))

    @property
    def folder(self) -> Path:
        """Folder that the files named in it are relative to."""
        return Path()

    def attempt(
        self, maker: Callable[..., Made], *arguments: Any, otherwise: Otherwise = None  # type: ignore[assignment]
    ) -> Made | Otherwise:  # fmt: skip
        """Return what `maker` makes; `otherwise` when it refuses, with the refusal noted."""
        try:
            return maker(*arguments)
        except InputError as error:
            self.errors.append(error)
        except NotedError:
            pass
        return otherwise

    def every(self, maker: Callable[..., Made], rows: Iterable[tuple[Any, ...]]) -> list[Made]:
        """Return what `maker` makes of every row, once all of them were tried."""
        before = len(self.errors)
        results: list[Made] = []
        lost = False
        for row in rows:
            try:
                results.append(maker(*row))
            except InputError as error:
                self.errors.append(error)
            except NotedError:
                lost = True
        if lost or len(self.errors) > before:
            raise NotedError
        return results

    def whole(
        self, maker: Callable[Given, Made], *arguments: Given.args, **named: Given.kwargs
    ) -> Made:
        """Return what `maker` makes, or raise one `InputError` that tells all that was refused."""
        try:
            whole_result = maker(*arguments, **named)
        except InputError as error:
            self.errors.append(error)
        except NotedError:
            pass
        else:
            if not self.errors:
                return whole_result
        raise all_of(self.errors)


class Arguments(Place):
    """The arguments of a call: values may be bare numbers in SI, and have no line."""

    bare_si = True

    def __init__(self, name: str) -> None:
        super().__init__()
        self.name = name

    def where(self, path: KeyPath) -> str:
        """The call's name."""
        return self.name

    def name_of(self, path: KeyPath) -> str:
        """The argument's path, or the call itself."""
        return dotted(path) or self.name
