"""The names that this room hands on: the one list of them. `__init__.py` makes them of it."""

from .page import write_page as write_page
from .session import Frame as Frame
from .session import Session as Session
