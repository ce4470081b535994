"""The names that this room hands on: the one list of them. `__init__.py` makes them of it."""

from .explorer import Explorer as Explorer
from .explorer import explore as explore
from .page import write_page as write_page
from .session import Frame as Frame
from .session import Session as Session
