"""The sheet for a day on the dyno: one page of what to log, what to expect and when to stop."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ..base.extras import extra
from ..base.safe_text import safe
from ..base.speeds import RPM
from ..chain.build import Build
from ..fit.prediction import predicted
from ..fit.reconciliation import Reconciliation
from ..plan.as_fitted import FittedLevels, fitted_levels
from ..plan.limits import with_unit
from ..plan.order import gate_of
from ..plan.plan import PlannedLevel
from ..plan.request import AS_TYPED
from ..shown.columns import in_display, label, shown
from ..shown.glossary import word
from ..shown.standing_words import INVENTED
from ..shown.tables import Table
from ..units.convert import formatted
from .blocks import bullets, table
from .dangers import dangers
from .report import Document

__all__ = ["day_sheet"]

_EXPECTED = ("power", "boost", "plenum_temperature", "fuel_flow")
#: Limits that a log shows while the engine runs. No thermometer reads the charge temperature: the
#: plenum's stands in, which port fuel has not cooled yet, so that the pull ends no later.
_READ = ("rotor_speed", "boost", "charge_temperature", "torque", "power")
#: Share of the regulator's pressure below which a pump or a filter gives out (common practice, no
#: source).
_FUEL_FALLS = 0.95
#: Rows of the table of steps that one page has room for.
_MOST = 12
#: Channel, rate and what to watch (common practice, no source).
_LOGGED = (
    ("engine speed", "50 Hz", "rotor speed beside it shows slip"),
    ("torque or power", "50 Hz", "with the dyno's own weather and correction factor off"),
    ("plenum pressure", "100 Hz", "absolute; zero it against the barometer"),
    ("plenum temperature", "10 Hz", "an open thermocouple; it lags by 1 to 3 s"),
    ("lambda, each bank", "20 Hz", "say whether the logger shows a gasoline scale"),
    ("fuel pressure at the rail", "50 Hz", "against plenum pressure"),
    ("knock, each bank", "crank window", "with somebody who listens"),
    ("ignition and injector time", "20 Hz", "as the controller ran them"),
    ("exhaust temperature, each cylinder", "5 Hz", "the hottest one decides"),
    ("oil pressure, oil and water temperature", "10 Hz", "engine and blower"),
    ("compressor inlet and outlet", "20 Hz", "pressure and temperature"),
    ("battery voltage", "10 Hz", "pumps and dead times follow it"),
)
#: Who guards what (common practice, no source).
_GUARDS = (
    ("at the throttle and the emergency stop", "ends the pull at the first call of anybody"),
    ("at the log", "lambda, fuel pressure, plenum temperature; calls stop"),
    ("at the engine, outside the cell", "knock, oil, leaks, extinguisher; keeps people out"),
)


def day_sheet(build: Build | Reconciliation, *, system: str = "trade") -> Document:
    """Make the one page that goes to the dyno.

    It holds what to log and at which rate, the weather that the figures stand for, the levels in
    the order they are run with what each must read, when to stop, and who guards what. Expected
    values are those of the levels as the file has them, with 90 % bands. A level that passes a
    limit or knocks by the estimate is marked as not to be run.

    Parameters
    ----------
    build : Build or Reconciliation
        The build, or a fit of it to pulls: bands are then those of its predictions.
    system : str
        ``"trade"`` or ``"si"``.

    Returns
    -------
    Document
        One page, as HTML or PDF, for A4 or Letter.

    Raises
    ------
    InputError
        There is no compressor, or the plan is refused.
    ModuleNotFoundError
        The extra ``report`` is not installed.
    """
    jinja, markup = extra("jinja2"), extra("markupsafe").Markup
    fitted = fitted_levels(build)
    fit = build if isinstance(build, Reconciliation) else None
    environment = jinja.Environment(
        loader=jinja.PackageLoader("airchain.report"),
        autoescape=True,
        undefined=jinja.StrictUndefined,
    )

    guards = [(*row, "") for row in _GUARDS]
    parts = {
        "steps": table(_steps(fitted, fit, system)),
        "logged": table(_table(_LOGGED, ("log", "rate", "watch"), "What to log")),
        "stops": bullets(stop_rules(fitted, system)),
        "guards": table(_table(guards, ("where", "does", "name"), "Who guards what")),
    }
    whole, whose = fitted.build, fitted.build.handover
    named = (whose.customer, whose.workshop, whose.reference, whose.date)
    html: str = environment.get_template("day_sheet.html.j2").render(
        name=whole.name,
        banner=INVENTED if whole.invented else "",
        whose=[text for text in named if text],
        weather=_weather(whole, system),
        band=fitted.band,
        **{name: markup("\n".join(blocks)) for name, blocks in parts.items()},
    )
    return Document(safe(html))


def _table(rows: Sequence[tuple[str, ...]], headings: Sequence[str], caption: str) -> Table:
    flush = tuple(range(len(headings)))
    return Table(list(headings), [""] * len(headings), [list(r) for r in rows], caption,
                 flush=flush)  # fmt: skip


def _weather(build: Build, system: str) -> list[tuple[str, str]]:
    """What the figures stand for; the day's own is written beside it."""
    air = build.chain.ambient
    rows = [
        ("barometer, at the cell", formatted(float(air.pressure), "barometer", system)),
        ("air temperature", formatted(float(air.temperature), "temperature", system)),
        ("relative humidity", f"{100.0 * float(air.relative_humidity):.0f} %"),
    ]
    cooler = build.chain.cooler
    if not cooler.ambient_cooled and cooler.effectiveness != 0.0:
        cold = float(cooler.coolant_temperature)
        rows.append(("coolant into the cooler", formatted(cold, "temperature", system)))
    return rows


def _steps(fitted: FittedLevels, fit: Reconciliation | None, system: str) -> Table:
    """Every level at some engine speeds, with what must be read, and room for what was."""
    rows = []
    speeds = _speeds(fitted)
    for number, level in enumerate(fitted.levels, 1):
        # The hand-over's own words, of the same pull; nothing is left to be filled in beside them.
        barred = " ".join(dangers(level.build.pull()))
        for place, rpm in enumerate(speeds):
            head = [f"{number}. {level.name} ({level.drive_ratio:.3f})"] if not place else [""]
            told = ["–" if place else barred, "no"] if barred else ["", ""]
            rows.append([*head, *_expected(level, fit, rpm, system), *told])
    headings = ["run", "at", *(_WORDS.get(n, n) for n in (*_EXPECTED, "rotor_speed")), "read", "go"]
    units = ["", "rpm", *(label(n, system) for n in (*_EXPECTED, "rotor_speed")), "", ""]
    key = (
        "Nine of ten readings in that weather fall into these bands. Go up one level only when "
        "every reading lies in its band, below or above is outside, and plugs, leak-down, oil and "
        "gears or belt are clean."
    )
    caption = "Order of the runs, and what each must read"
    return Table(headings, units, rows, caption, key)


_WORDS = {
    "plenum_temperature": word("plenum_temperature"),
    "fuel_flow": "fuel",
    "rotor_speed": word("rotor_speed"),
}


def _speeds(fitted: FittedLevels) -> list[float]:
    """Engine speeds that are compared: one low down, the reference, and the highest."""
    rpm = fitted.request.rpm
    wanted = (0.55 * rpm[-1], float(fitted.build.reference_speed) / RPM, rpm[-1])
    fits = max(1, _MOST // max(1, len(fitted.levels)))
    at = np.unique([float(rpm[int(np.argmin(abs(rpm - one)))]) for one in wanted[-fits:]])
    return [float(one) for one in at]


def _expected(level: PlannedLevel, fit: Reconciliation | None, rpm: float,
              system: str) -> list[str]:  # fmt: skip
    solved = level.trial.solved[AS_TYPED]
    prediction = None
    if fit is not None:
        plain = fit.build.level(level.name) if level.name in fit.build.levels else fit.build
        prediction = predicted(fit, plain, solved.rpm)
    gate = gate_of(level.name, rpm, solved, prediction, _EXPECTED)
    cells = [f"{gate.rpm:,.0f}"]
    for name in _EXPECTED:
        middle, half = gate.expected[name]
        low, high = (float(in_display(name, middle + s * half, system)) for s in (-1, 1))
        digits = 1 if name == "boost" and system == "trade" else 0
        cells.append(f"{low:,.{digits}f} to {high:,.{digits}f}" if np.isfinite(low) else "–")
    i = int(np.argmin(abs(solved.rpm - rpm)))
    return [*cells, shown("rotor_speed", float(solved.value("rotor_speed")[i]), system)]


def stop_rules(fitted: FittedLevels, system: str) -> list[str]:
    """At what reading the pull ends: limits of the plan, and what every cell stops for."""
    build, limits = fitted.build, fitted.request.limits
    chain = build.chain
    rules = ["Anybody calls stop: the throttle closes at once, and nobody asks why first."]
    over = [f"engine speed {float(build.redline) / RPM:,.0f} rpm"]
    for limit in (limits[name] for name in _READ if name in limits):
        kind, name = limit.quantity.kind, limit.name
        words = word("plenum_temperature") if name == "charge_temperature" else limit.quantity.words
        over.append(f"{words} {with_unit(kind, limit.value, system)}")
    rules.append(f"Above any of these: {', '.join(over)}.")
    ratio = float(getattr(chain.injection, "lambda"))
    rules.append(f"Lambda above {ratio + 0.04:.2f} under load; {ratio:.2f} was planned.")
    rules.append(f"Fuel pressure {_fuel_pressure(fitted, system)}, or falling through the pull.")
    rules += [
        "Knock, heard or shown, once; a misfire; one exhaust temperature far from the others.",
        "Oil pressure below its maker's figure; smoke, a smell of fuel, a leak, a new noise.",
        "A reading above its band stops as well as one below it: find out why before the next.",
    ]
    return rules


def _fuel_pressure(fitted: FittedLevels, system: str) -> str:
    """What the regulator holds at the rail."""
    supply = fitted.request.supply
    if supply is None:
        return "below what its regulator holds"
    over = " over the plenum's" if supply.reference == "plenum" else ""
    least = _FUEL_FALLS * float(supply.rail_pressure)
    return f"below {with_unit('pressure_difference', least, system)}{over}"
