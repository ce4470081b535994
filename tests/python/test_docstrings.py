"""Every public name is documented, and the rule notices where one is not."""

from dataclasses import dataclass
from typing import Any

import pytest

import airchain
import docstrings

PUBLIC = docstrings.public_objects(airchain)


def test_every_module_says_what_it_is() -> None:
    modules = docstrings.public_modules(airchain)
    assert [m.__name__ for m in modules if not (m.__doc__ or "").strip()] == []


@pytest.mark.parametrize("name", sorted(PUBLIC))
def test_public_name_is_documented(name: str) -> None:
    assert docstrings.complaints(name, PUBLIC[name]) == []


def good(speed: float, name: str = "a") -> float:
    """Power at a speed.

    Parameters
    ----------
    speed : float
        Angular speed [rad/s].
    name : str
        Name of the shaft.

    Returns
    -------
    float
        Power [W].

    Raises
    ------
    ValueError
        If the speed is negative.
    """
    if speed < 0:
        raise ValueError(name)
    return 2.0 * speed


def bare(speed: float) -> float:
    return speed


def without_unit(speed: float, ratio: float) -> float:
    """Power at a speed.

    Parameters
    ----------
    speed : float
        Angular speed.
    rate : float
        Dimensionless.
    """
    if speed < ratio:
        raise ValueError
    return speed


@dataclass
class Shaft:
    """A shaft.

    Attributes
    ----------
    speed : float
        Angular speed.
    """

    speed: float

    @property
    def power(self) -> float:
        """Power."""
        return self.speed

    def turn(self) -> None:
        pass


@pytest.mark.parametrize(
    ("thing", "expected"),
    [
        (good, []),
        (bare, ["x: has no docstring"]),
        (
            without_unit,
            [
                "x: `speed` has neither a [unit] nor the word dimensionless",
                "x: `ratio` is not described",
                "x: describes `rate`, which it does not take",
                "x: returns float but has no Returns section",
                "x: raises but has no Raises section",
            ],
        ),
        (
            Shaft,
            [
                "x: `speed` has neither a [unit] nor the word dimensionless",
                "x: `power` has neither a [unit] nor the word dimensionless",
                "x.turn: has no docstring",
            ],
        ),
    ],
)
def test_notices_what_is_missing(thing: Any, expected: list[str]) -> None:
    assert docstrings.complaints("x", thing) == expected
