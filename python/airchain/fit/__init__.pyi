"""The names that this room hands on: the one list of them. `__init__.py` makes them of it."""

from .comparison import Comparison as Comparison
from .difference import Difference as Difference
from .difference import explain as explain
from .fitting import reconcile as reconcile
from .prediction import Prediction as Prediction
from .prediction import predict as predict
from .reconciliation import Reconciliation as Reconciliation
from .saving import read_fit as read_fit
