"""The names that this room hands on: the one list of them. `__init__.py` makes them of it."""

from .cam_pulls import CamPulls as CamPulls
from .cam_sweep import cam_sweep as cam_sweep
from .design import Design as Design
from .design import design as design
from .distributions import Even as Even
from .distributions import Normal as Normal
from .distributions import Recorded as Recorded
from .distributions import Toleranced as Toleranced
from .store import open_sweep as open_sweep
from .sweeping import sweep as sweep
from .writing import write_dataset as write_dataset
from .best import BestPoints as BestPoints
from .best import best_points as best_points
from .sensitivity import Sensitivities as Sensitivities
from .sensitivity import sensitivities as sensitivities
