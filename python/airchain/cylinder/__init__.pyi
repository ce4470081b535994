"""The names that this room hands on: the one list of them. `__init__.py` makes them of it."""

from .cams import CamSweep as CamSweep
from .cams import cams_at_held_plenum as cams_at_held_plenum
from .camshaft import Cam as Cam
from .crank_engine import CrankEngine as CrankEngine
from .cylinder_points import CylinderPoints as CylinderPoints
from .events import ValveEvents as ValveEvents
from .knock_limits import KnockLimits as KnockLimits
from .knock_limits import compression_against_boost as compression_against_boost
from .measured_lift import MeasuredLift as MeasuredLift
from .points import EnginePoints as EnginePoints
from .solving_all import every_cylinder as every_cylinder
from .trace import CycleTrace as CycleTrace
from .waves import PressureWaves as PressureWaves
