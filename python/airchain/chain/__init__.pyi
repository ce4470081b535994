"""The names that this room hands on: the one list of them. `__init__.py` makes them of it."""

from .build import Build as Build
from .drive_loads import DriveLoads as DriveLoads
from .ladders import Ladder as Ladder
from .ladders import ladder as ladder
from .knock_margins import KnockMargins as KnockMargins
from .matched_cycles import MatchedCycles as MatchedCycles
from .parsing import parse_build as parse_build
from .pull import Pull as Pull
from .station_table import StationTable as StationTable
from .timed_pull import TimedPull as TimedPull
from .worst_cylinders import WorstCylinders as WorstCylinders
from .worst_cylinders import one_for_all as one_for_all
from .worst_cylinders import worst_cylinders as worst_cylinders
