"""The names that this room hands on: the one list of them. `__init__.py` makes them of it."""

from .candidates import Candidate as Candidate
from .candidates import family as family
from .choice import Choice as Choice
from .choosing import choose_compressor as choose_compressor
