"""Power correction by the published standards, and by the chain itself beside them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .. import _core
from ..base.errors import quoted, refusal
from ..chain.solving import solve
from ..units.convert import formatted
from .bases import OBSERVED, checked_basis, outside_words, standard_words
from .finding import Finding

if TYPE_CHECKING:
    from ..chain.build import Build
    from .measured import MeasuredPull

__all__ = ["correction_factor"]

_TOPIC = "power correction"


def correction_factor(pull: MeasuredPull, standard: str) -> NDArray[np.float64]:
    """Return corrected over observed power of each row, from the pull's own weather.

    Parameters
    ----------
    pull : MeasuredPull
        The pull; its barometer, air temperature and vapour pressure must be known.
    standard : str
        ``"sae_j1349"``, ``"std_29_92"`` or ``"iso_1585"``.

    Returns
    -------
    ndarray
        The factor along the rows [dimensionless].

    Raises
    ------
    InputError
        The weather is not known, or the standard is none.
    """
    checked_basis(standard, pull.name)
    dry, temperature = _dry_air(pull)
    return np.asarray(_core.power_correction(standard, dry, temperature)) * np.ones(len(pull))


def observed(pull: MeasuredPull) -> MeasuredPull:
    """Return the pull as observed, see `MeasuredPull.observed`."""
    if pull.power_basis == OBSERVED:
        return pull
    return _scaled(pull, 1.0 / correction_factor(pull, pull.power_basis), OBSERVED)


def corrected(pull: MeasuredPull, standard: str, induction: str = "mechanical") -> MeasuredPull:
    """Return the corrected pull, see `MeasuredPull.corrected`."""
    checked_basis(standard, pull.name)
    back = observed(pull)
    if standard == OBSERVED:
        return back
    objection = _core.power_standard_objection(standard, induction)
    if objection:
        hint = f"{objection}; compare as observed, or by weather_normalised"
        raise refusal(pull.name, "induction", quoted(induction), "suit the standard", hint)
    dry, temperature = (float(np.mean(v)) for v in _dry_air(back))
    findings = back.findings
    outside = outside_words(standard, dry, temperature, "si")
    if outside:
        findings += (
            Finding(_TOPIC, f"the weather lies outside {standard_words(standard)}: {outside}"),
        )
    scaled = _scaled(back, correction_factor(back, standard), standard)
    return scaled.replace(findings=findings)


def weather_normalised(pull: MeasuredPull, build: Build, to: str = "sae_j1349") -> MeasuredPull:
    """Return the pull in reference weather, see `MeasuredPull.weather_normalised`."""
    there = reference_weather(to, pull.name)
    back = observed(pull)
    dry, temperature = (float(np.mean(v)) for v in _dry_air(back))
    vapour = float(np.mean(back.barometer)) - dry
    humidity = vapour / float(_core.saturation_pressure(temperature))
    here = _core.Ambient(
        pressure=dry + vapour, temperature=temperature, relative_humidity=min(humidity, 1.0)
    )
    ratio = weather_ratio(build, here, there, back.rpm)
    solved = np.isfinite(ratio)
    if not solved.any():
        rule = "be solved by the chain at one speed at least"
        raise refusal(pull.name, "build", quoted(build.title), rule)
    words = (
        f"{formatted(there.pressure, 'pressure', 'si')} dry, "
        f"{formatted(there.temperature, 'temperature', 'si')}"
    )
    findings = [
        *back.findings,
        Finding("weather normalisation", f"{build.title} carried the power to {words}"),
    ]
    if not solved.all():
        gone = tuple((back.lines[~solved] if back.lines.size else np.flatnonzero(~solved)).tolist())
        findings.append(
            Finding(
                "weather normalisation",
                "the chain has no answer for some rows; they were left out",
                gone,
            )
        )
    kept = back.rows(solved)
    scaled = _scaled(kept, ratio[solved], f"weather normalised to {words}")
    return scaled.replace(findings=tuple(findings))


def reference_weather(standard: str, where: str = _TOPIC) -> _core.Ambient:
    """Return the dry air that a power standard refers to.

    Parameters
    ----------
    standard : str
        The standard.
    where : str
        What a refusal begins with.

    Returns
    -------
    Ambient
        Pressure [Pa] and temperature [K], no humidity.

    Raises
    ------
    InputError
        There is no such standard.
    """
    standards = _core.power_standards()
    if standard not in standards:
        raise refusal(where, "to", quoted(standard), "be one of " + ", ".join(standards))
    _, pressure, temperature = standards[standard]
    return _core.Ambient(pressure=pressure, temperature=temperature, relative_humidity=0.0)


def weather_ratio(
    build: Build, here: _core.Ambient, there: _core.Ambient, rpm: ArrayLike
) -> NDArray[np.float64]:
    """Return the chain's power in one weather over that in another.

    Parameters
    ----------
    build : Build
        The build.
    here, there : Ambient
        The weather it is in, and the weather it is brought to.
    rpm : array_like
        Engine speeds [rpm].

    Returns
    -------
    ndarray
        Power there over power here [dimensionless]; NaN where either has no answer.
    """
    powers = [solve(build.chain.replace(ambient=air), rpm)["power"] for air in (here, there)]
    return np.asarray(powers[1] / powers[0])


def _dry_air(pull: MeasuredPull) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return dry-air pressure [Pa] and air temperature [K] of each row."""
    temperature = pull.columns.get(
        "ambient_temperature", np.full(len(pull), pull.ambient.get("ambient_temperature", np.nan))
    )
    pressure = pull.barometer
    for name, values in (("barometer", pressure), ("ambient_temperature", temperature)):
        if not np.isfinite(values).all():
            hint = "give it in the mapping when the log is read, or in ambient"
            raise refusal(pull.name, f"ambient.{name}", "missing", "be known", hint)
    return pressure - _vapour(pull, temperature), temperature


def _vapour(pull: MeasuredPull, temperature: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the vapour pressure [Pa] of each row."""
    if "vapour_pressure" in pull.ambient:
        return np.full(len(pull), pull.ambient["vapour_pressure"])
    if "relative_humidity" in pull.columns:
        humidity = pull["relative_humidity"]
        if np.isfinite(humidity).all():
            return np.asarray(humidity * _core.saturation_pressure(temperature))
    hint = "or relative_humidity in its place; 0 where the barometer was of dry air"
    raise refusal(pull.name, "ambient.vapour_pressure", "missing", "be known", hint)


def _scaled(pull: MeasuredPull, factor: NDArray[np.float64], basis: str) -> MeasuredPull:
    scaled = {n: pull[n] * factor for n in ("torque", "power") if n in pull.names}
    return pull.with_columns(**scaled).replace(power_basis=basis)
