"""The footing that torque and power stand on: as observed, or corrected by a standard."""

from __future__ import annotations

from .. import _core
from ..base.errors import quoted, refusal
from ..units.convert import display

OBSERVED = "observed"


def bases() -> list[str]:
    """Return every power basis that is known."""
    return [OBSERVED, *_core.power_standards()]


def standard_words(standard: str) -> str:
    """Return a power standard as a dyno sheet has it: ``"SAE J1349"``, ``"the older standard"``."""
    name = _core.power_standards()[standard][0].partition(",")[0]
    return name if name[0].isupper() else f"the {name}"


#: Words and quantity kind of the figures of the weather that a standard knows.
_OF_STANDARD = {
    "temperature": ("air temperature", "temperature"),
    "dry_pressure": ("dry barometer", "barometer"),
}


def outside_words(
    standard: str, dry_pressure: float, temperature: float, system: str = "trade"
) -> str:
    """Return what of a weather lies outside a power standard, in words; empty when nothing does.

    Parameters
    ----------
    standard : str
        The standard.
    dry_pressure, temperature : float
        Of the dry air [Pa], and of the air [K].
    system : str
        ``"trade"`` or ``"si"``.

    Returns
    -------
    str
        Such as ``"air temperature 36 degF is not within 59 to 95 degF"``.
    """
    told = []
    for name, *figures in _core.outside_power_standard(standard, dry_pressure, temperature):
        words, kind = _OF_STANDARD.get(name, (name, "dimensionless"))
        shown = [display(one, kind, system) for one in figures]
        value, low, high = (f"{number:.4g}" for number, _ in shown)
        unit = f" {shown[0][1]}".rstrip()
        told.append(f"{words} {value}{unit} is not within {low} to {high}{unit}")
    return ", ".join(told)


def basis_words(basis: str) -> str:
    """Return a power basis in words: ``"observed"``, ``"by SAE J1349"``."""
    return OBSERVED if basis == OBSERVED else f"by {standard_words(basis)}"


def checked_basis(basis: str, where: str) -> str:
    """Return a power basis, or refuse one that is none."""
    if basis not in bases():
        rule = "be one of " + ", ".join(bases())
        raise refusal(where, "power_basis", quoted(basis), rule)
    return basis
