"""The names that this room hands on: the one list of them. `__init__.py` makes them of it."""

from .beginning import sketch as sketch
from .sketched import Sketch as Sketch
