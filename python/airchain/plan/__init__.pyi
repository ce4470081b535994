"""The names that this room hands on: the one list of them. `__init__.py` makes them of it."""

from .days import read_days as read_days
from .loading import load as load
from .plan import Plan as Plan
from .plan import PlannedLevel as PlannedLevel
from .planner import plan_levels as plan_levels
from .weather import WeatherBands as WeatherBands
from .weather import weather_bands as weather_bands
