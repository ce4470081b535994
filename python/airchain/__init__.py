"""The air of a supercharged engine, from the weather to the cylinder, as one chain of stations.

The names are listed once, in ``__init__.pyi``; each is imported at its first use, so that
``import airchain`` stays quick.
"""

import lazy_loader

from ._core import InputError as InputError

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)

__version__ = "0.1.0"
__all__ += ["InputError", "__version__"]
