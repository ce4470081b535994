"""The air of a supercharged engine, from the weather to the cylinder, as one chain of stations.

The names are listed once, in ``__init__.pyi``; each is imported at its first use, so that
``import airchain`` stays quick. So are the rooms, such as ``airchain.live``.
"""

from importlib import import_module
from importlib.util import find_spec
from types import FunctionType, ModuleType

import lazy_loader

from ._core import InputError as InputError

_listed, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)


def __getattr__(name: str) -> FunctionType | ModuleType | type:
    if name not in __all__ and name[:1] != "_" and find_spec(f"{__name__}.{name}"):
        return import_module(f".{name}", __name__)
    return _listed(name)


__version__ = "0.1.0"
__all__ += ["InputError", "__version__"]
