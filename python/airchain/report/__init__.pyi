"""The names that this room hands on: the one list of them. `__init__.py` makes them of it."""

from .dyno_day import day_sheet as day_sheet
from .report import Document as Document
from .report import Report as Report
from .report import make_report as make_report
