"""The names that a user starts from: the one list of them. `__init__.py` makes them of it."""

# lazy_loader takes every `from` for a name that the package hands on.
import collections.abc

import airchain._core

from .calibration.files import read_calibration as read_calibration
from .calibration.making import calibrate as calibrate
from .chain.build import Build as Build
from .sweeps.cam_sweep import cam_sweep as cam_sweep
from .chain.ladders import ladder as ladder
from .sweeps.sweeping import sweep as sweep
from .choosing.choosing import choose_compressor as choose_compressor
from .cylinder.crank_engine import CrankEngine as CrankEngine
from .cylinder.knock_limits import compression_against_boost as compression_against_boost
from .faults.diagnosing import diagnose as diagnose
from .fit.difference import explain as explain
from .fit.fitting import reconcile as reconcile
from .fit.prediction import predict as predict
from .fit.saving import read_fit as read_fit
from .fuel.demand import fuel_demand as fuel_demand
from .fuel.fuels import compare_fuels as compare_fuels
from .measured.compare import overlay as overlay
from .measured.log.reader import read_pulls as read_pulls
from .measured.measured import MeasuredPull as MeasuredPull
from .plan.loading import load as load
from .plan.planner import plan_levels as plan_levels
from .plan.weather import weather_bands as weather_bands
from .report.report import make_report as make_report
from .shown.glossary import glossary as glossary
from .sketching.beginning import sketch as sketch

# The core makes the class; its stub names it as this package's, where its user finds it.
class InputError(ValueError):
    """An input was refused: ``Where: field = value; must be rule; hint``, a line each."""

    def __init__(self, refusals: str | collections.abc.Sequence[airchain._core.Refusal] = "") -> None: ...
    @property
    def refusals(self) -> tuple[airchain._core.Refusal, ...]: ...
    @property
    def where(self) -> str: ...
    @property
    def field(self) -> str: ...
    @property
    def value(self) -> str: ...
    @property
    def rule(self) -> str: ...
    @property
    def hint(self) -> str: ...
    @property
    def indices(self) -> dict[str, int]: ...

__version__: str
