"""The air of a supercharged engine, from the weather to the cylinder, as one chain of stations."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    # The stub of the core names the class as this package's, where its user finds it.
    class InputError(ValueError):
        """An input was refused: ``Where: field = value; must be rule; hint``."""

    from .calibration.calibration import Calibration
    from .calibration.files import read_calibration
    from .calibration.making import calibrate
    from .calibration.plots import plot_coverage, plot_filling
    from .chain.ladders import Ladder, ladder
    from .chain.loading import Build, load
    from .chain.plot_map import plot_map
    from .chain.plots import plot_pulls, plot_stations, plot_sweep
    from .chain.pull import Pull
    from .chain.station_table import StationTable
    from .chain.sweeping import sweep
    from .cylinder.cams import CamSweep, cam_sweep
    from .cylinder.camshaft import Cam, MeasuredLift
    from .cylinder.crank_engine import CrankEngine
    from .cylinder.events import ValveEvents
    from .cylinder.knock_limits import KnockLimits, compression_against_boost
    from .cylinder.plots import (
        plot_cams,
        plot_knock_limits,
        plot_loops,
        plot_port_pressures,
        plot_valve_lifts,
    )
    from .cylinder.points import EnginePoints
    from .cylinder.trace import CycleTrace
    from .fit.comparison import Comparison
    from .fit.difference import Difference, explain_difference, explain_pulls
    from .fit.fitting import reconcile
    from .fit.plots import plot_prediction, plot_residuals, plot_waterfall
    from .fit.prediction import Prediction, predict
    from .fit.reconciliation import Reconciliation
    from .fit.saving import load_reconciliation, save_reconciliation
    from .fuel.demand import FuelDemand, fuel_demand
    from .fuel.fuels import FuelComparison, compare_fuels
    from .fuel.plots import plot_fuel
    from .measured.compare import overlay
    from .measured.log.reader import read_pulls
    from .measured.measured import MeasuredPull
    from .plan.plan import Plan, PlannedLevel
    from .plan.planner import plan_levels
    from .plan.plot_weather import plot_weather
    from .plan.plots import plot_knock_room, plot_plan, plot_room
    from .plan.weather import WeatherBands, weather_bands
    from .report.report import Report, make_report, whole_report, write_report
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
    "Difference",
    "EnginePoints",
    "FuelComparison",
    "FuelDemand",
    "InputError",
    "KnockLimits",
    "Ladder",
    "MeasuredLift",
    "MeasuredPull",
    "Plan",
    "PlannedLevel",
    "Prediction",
    "Pull",
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
    "explain_difference",
    "explain_pulls",
    "fuel_demand",
    "ladder",
    "load",
    "load_reconciliation",
    "make_report",
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
    "save_reconciliation",
    "sweep",
    "weather_bands",
    "whole_report",
    "write_report",
]

# Imported at first use, so that `import airchain` stays quick.
_HOME = {
    "Build": "chain.build",
    "Calibration": "calibration.calibration",
    "Cam": "cylinder.camshaft",
    "CamSweep": "cylinder.cams",
    "Comparison": "fit.comparison",
    "CrankEngine": "cylinder.crank_engine",
    "CycleTrace": "cylinder.trace",
    "Difference": "fit.difference",
    "EnginePoints": "cylinder.points",
    "FuelComparison": "fuel.fuels",
    "FuelDemand": "fuel.demand",
    "KnockLimits": "cylinder.knock_limits",
    "Ladder": "chain.ladders",
    "MeasuredLift": "cylinder.camshaft",
    "MeasuredPull": "measured.measured",
    "Plan": "plan.plan",
    "PlannedLevel": "plan.plan",
    "Prediction": "fit.prediction",
    "Pull": "chain.pull",
    "Reconciliation": "fit.reconciliation",
    "Report": "report.report",
    "StationTable": "chain.station_table",
    "ValveEvents": "cylinder.events",
    "WeatherBands": "plan.weather",
    "calibrate": "calibration.making",
    "cam_sweep": "cylinder.cams",
    "compare_fuels": "fuel.fuels",
    "compression_against_boost": "cylinder.knock_limits",
    "explain_difference": "fit.difference",
    "explain_pulls": "fit.difference",
    "fuel_demand": "fuel.demand",
    "ladder": "chain.ladders",
    "load": "chain.loading",
    "load_reconciliation": "fit.saving",
    "make_report": "report.report",
    "overlay": "measured.compare",
    "plan_levels": "plan.planner",
    "plot_cams": "cylinder.plots",
    "plot_coverage": "calibration.plots",
    "plot_filling": "calibration.plots",
    "plot_fuel": "fuel.plots",
    "plot_knock_limits": "cylinder.plots",
    "plot_knock_room": "plan.plots",
    "plot_loops": "cylinder.plots",
    "plot_map": "chain.plot_map",
    "plot_plan": "plan.plots",
    "plot_port_pressures": "cylinder.plots",
    "plot_prediction": "fit.plots",
    "plot_pulls": "chain.plots",
    "plot_residuals": "fit.plots",
    "plot_room": "plan.plots",
    "plot_stations": "chain.plots",
    "plot_sweep": "chain.plots",
    "plot_valve_lifts": "cylinder.plots",
    "plot_waterfall": "fit.plots",
    "plot_weather": "plan.plot_weather",
    "predict": "fit.prediction",
    "read_calibration": "calibration.files",
    "read_pulls": "measured.log.reader",
    "reconcile": "fit.fitting",
    "save_reconciliation": "fit.saving",
    "sweep": "chain.sweeping",
    "weather_bands": "plan.weather",
    "whole_report": "report.report",
    "write_report": "report.report",
}


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f".{_HOME[name]}", __name__), name)


def __dir__() -> list[str]:
    return sorted({*globals(), *_HOME})
