"""The names that this room hands on: the one list of them. `__init__.py` makes them of it."""

from .build import Build as Build
from .cam_pulls import CamPulls as CamPulls
from .cam_sweep import cam_sweep as cam_sweep
from .drive_loads import DriveLoads as DriveLoads
from .ladders import Ladder as Ladder
from .ladders import ladder as ladder
from .matched_cycles import KnockMargins as KnockMargins
from .matched_cycles import MatchedCycles as MatchedCycles
from .parsing import parse_build as parse_build
from .pull import Pull as Pull
from .station_table import StationTable as StationTable
from .sweeping import sweep as sweep
from .sweeping import write_dataset as write_dataset
from .timed_pull import TimedPull as TimedPull
