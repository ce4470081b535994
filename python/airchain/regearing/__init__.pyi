"""The names that this room hands on: the one list of them. `__init__.py` makes them of it."""

from .regearing import regear as regear
from .regeared import Regeared as Regeared
