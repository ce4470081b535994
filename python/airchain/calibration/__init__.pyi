"""The names that this room hands on: the one list of them. `__init__.py` makes them of it."""

from .calibration import Calibration as Calibration
from .extension import NextRatio as NextRatio
from .files import read_calibration as read_calibration
from .making import calibrate as calibrate
