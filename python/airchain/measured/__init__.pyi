"""The names that this room hands on: the one list of them. `__init__.py` makes them of it."""

from .compare import Overlay as Overlay
from .compare import overlay as overlay
from .derive import Derived as Derived
from .finding import Finding as Finding
from .log.column_map import ColumnMap as ColumnMap
from .log.mapping import LogMapping as LogMapping
from .log.pull_log import PullLog as PullLog
from .log.reader import guess_mapping as guess_mapping
from .log.reader import read_pulls as read_pulls
from .measured import MeasuredPull as MeasuredPull
