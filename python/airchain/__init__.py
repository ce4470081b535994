"""The air of a supercharged engine, from the weather to the cylinder, as one chain of stations."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    # The stub of the core names the class as this package's, where its user finds it.
    class InputError(ValueError):
        """An input was refused: ``Where: field = value; must be rule; hint``."""

    from .buildfile import Build, load
    from .calibration.calibration import Calibration
    from .calibration.files import read_calibration
    from .calibration.making import calibrate
    from .calibration.plots import plot_coverage, plot_filling
    from .engine.cams import CamSweep, cam_sweep
    from .engine.camshaft import Cam, MeasuredLift
    from .engine.crank_engine import CrankEngine
    from .engine.events import ValveEvents
    from .engine.knock_limits import KnockLimits, compression_against_boost
    from .engine.plots import (
        plot_cams,
        plot_knock_limits,
        plot_loops,
        plot_port_pressures,
        plot_valve_lifts,
    )
    from .engine.points import EnginePoints
    from .engine.trace import CycleTrace
    from .fuelling.demand import FuelDemand, fuel_demand
    from .fuelling.fuels import FuelComparison, compare_fuels
    from .fuelling.plots import plot_fuel
    from .levels import Ladder, ladder
    from .planning.plan import Plan, PlannedLevel
    from .planning.planner import plan_levels
    from .planning.plots import plot_knock_room, plot_plan, plot_room
    from .plots import plot_pulls, plot_stations, plot_sweep
    from .plots_map import plot_map
    from .plots_weather import plot_weather
    from .pull import Pull
    from .pulls.compare import Overlay, overlay
    from .pulls.correct import corrected, observed, weather_normalised
    from .pulls.derive import Derived, derive
    from .pulls.log import PullLog
    from .pulls.mapping import LogMapping
    from .pulls.measured import MeasuredPull
    from .pulls.plots import plot_measured, plot_measured_map
    from .pulls.reader import guess_mapping, read_pulls
    from .pulls.smooth import resampled, smoothed, steady
    from .reconciling.comparison import Comparison
    from .reconciling.difference import Difference, explain_difference, explain_pulls
    from .reconciling.fitting import reconcile
    from .reconciling.plots import plot_prediction, plot_residuals, plot_waterfall
    from .reconciling.prediction import Prediction, predict
    from .reconciling.reconciliation import Reconciliation
    from .reconciling.saving import load_reconciliation, save_reconciliation
    from .report import Report, make_report, whole_report, write_report
    from .stations import StationTable
    from .sweeping import sweep
    from .weather import WeatherBands, weather_bands
else:
    from ._core import InputError

__version__ = "0.1.0"

__all__ = [
    "Build",
    "Calibration",
    "Cam",
    "CamSweep",
    "Comparison",
    "CrankEngine",
    "CycleTrace",
    "Derived",
    "Difference",
    "EnginePoints",
    "FuelComparison",
    "FuelDemand",
    "InputError",
    "KnockLimits",
    "Ladder",
    "LogMapping",
    "MeasuredLift",
    "MeasuredPull",
    "Overlay",
    "Plan",
    "PlannedLevel",
    "Prediction",
    "Pull",
    "PullLog",
    "Reconciliation",
    "Report",
    "StationTable",
    "ValveEvents",
    "WeatherBands",
    "__version__",
    "calibrate",
    "cam_sweep",
    "compare_fuels",
    "compression_against_boost",
    "corrected",
    "derive",
    "explain_difference",
    "explain_pulls",
    "fuel_demand",
    "guess_mapping",
    "ladder",
    "load",
    "load_reconciliation",
    "make_report",
    "observed",
    "overlay",
    "plan_levels",
    "plot_cams",
    "plot_coverage",
    "plot_filling",
    "plot_fuel",
    "plot_knock_limits",
    "plot_knock_room",
    "plot_loops",
    "plot_map",
    "plot_measured",
    "plot_measured_map",
    "plot_plan",
    "plot_port_pressures",
    "plot_prediction",
    "plot_pulls",
    "plot_residuals",
    "plot_room",
    "plot_stations",
    "plot_sweep",
    "plot_valve_lifts",
    "plot_waterfall",
    "plot_weather",
    "predict",
    "read_calibration",
    "read_pulls",
    "reconcile",
    "resampled",
    "save_reconciliation",
    "smoothed",
    "steady",
    "sweep",
    "weather_bands",
    "weather_normalised",
    "whole_report",
    "write_report",
]

# Imported at first use, so that `import airchain` stays quick.
_HOME = {
    "Build": "buildfile",
    "Calibration": "calibration.calibration",
    "Cam": "engine.camshaft",
    "CamSweep": "engine.cams",
    "Comparison": "reconciling.comparison",
    "CrankEngine": "engine.crank_engine",
    "CycleTrace": "engine.trace",
    "Derived": "pulls.derive",
    "Difference": "reconciling.difference",
    "EnginePoints": "engine.points",
    "FuelComparison": "fuelling.fuels",
    "FuelDemand": "fuelling.demand",
    "KnockLimits": "engine.knock_limits",
    "Ladder": "levels",
    "LogMapping": "pulls.mapping",
    "MeasuredLift": "engine.camshaft",
    "MeasuredPull": "pulls.measured",
    "Overlay": "pulls.compare",
    "Plan": "planning.plan",
    "PlannedLevel": "planning.plan",
    "Prediction": "reconciling.prediction",
    "Pull": "pull",
    "PullLog": "pulls.log",
    "Reconciliation": "reconciling.reconciliation",
    "Report": "report",
    "StationTable": "stations",
    "ValveEvents": "engine.events",
    "WeatherBands": "weather",
    "calibrate": "calibration.making",
    "cam_sweep": "engine.cams",
    "compare_fuels": "fuelling.fuels",
    "compression_against_boost": "engine.knock_limits",
    "corrected": "pulls.correct",
    "derive": "pulls.derive",
    "explain_difference": "reconciling.difference",
    "explain_pulls": "reconciling.difference",
    "fuel_demand": "fuelling.demand",
    "guess_mapping": "pulls.reader",
    "ladder": "levels",
    "load": "buildfile",
    "load_reconciliation": "reconciling.saving",
    "make_report": "report",
    "observed": "pulls.correct",
    "overlay": "pulls.compare",
    "plan_levels": "planning.planner",
    "plot_cams": "engine.plots",
    "plot_coverage": "calibration.plots",
    "plot_filling": "calibration.plots",
    "plot_fuel": "fuelling.plots",
    "plot_knock_limits": "engine.plots",
    "plot_knock_room": "planning.plots",
    "plot_loops": "engine.plots",
    "plot_map": "plots_map",
    "plot_measured": "pulls.plots",
    "plot_measured_map": "pulls.plots",
    "plot_plan": "planning.plots",
    "plot_port_pressures": "engine.plots",
    "plot_prediction": "reconciling.plots",
    "plot_pulls": "plots",
    "plot_residuals": "reconciling.plots",
    "plot_room": "planning.plots",
    "plot_stations": "plots",
    "plot_sweep": "plots",
    "plot_valve_lifts": "engine.plots",
    "plot_waterfall": "reconciling.plots",
    "plot_weather": "plots_weather",
    "predict": "reconciling.prediction",
    "read_calibration": "calibration.files",
    "read_pulls": "pulls.reader",
    "reconcile": "reconciling.fitting",
    "resampled": "pulls.smooth",
    "save_reconciliation": "reconciling.saving",
    "smoothed": "pulls.smooth",
    "steady": "pulls.smooth",
    "sweep": "sweeping",
    "weather_bands": "weather",
    "weather_normalised": "pulls.correct",
    "whole_report": "report",
    "write_report": "report",
}


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f".{_HOME[name]}", __name__), name)


def __dir__() -> list[str]:
    return sorted({*globals(), *_HOME})
