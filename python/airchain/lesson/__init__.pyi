"""The names that this room hands on: the one list of them. `__init__.py` makes them of it."""

from .answers import Answer as Answer
from .asking import ChangeCheck as ChangeCheck
from .asking import Check as Check
from .last_page import LastPage as LastPage
from .lessons import Lesson as Lesson
from .moves import ChangeAnswer as ChangeAnswer
from .moving_point import MovingPoint as MovingPoint
from .notebooks import write_notebooks as write_notebooks
from .score import Score as Score
