"""The names that this room hands on: the one list of them. `__init__.py` makes them of it."""

from .diagnosing import diagnose as diagnose
from .diagnosis import Diagnosis as Diagnosis
from .diagnosis import Suspect as Suspect
