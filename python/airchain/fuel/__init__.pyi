"""The names that this room hands on: the one list of them. `__init__.py` makes them of it."""

from .demand import FuelDemand as FuelDemand
from .demand import fuel_demand as fuel_demand
from .fuels import FuelComparison as FuelComparison
from .fuels import compare_fuels as compare_fuels
