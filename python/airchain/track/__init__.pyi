"""The names that this room hands on: the one list of them. `__init__.py` makes them of it."""

from .driving import track_runs as track_runs
from .managing import Management as Management
from .page import LevelOnTrack as LevelOnTrack
from .page import TrackPage as TrackPage
from .run import Run as Run
