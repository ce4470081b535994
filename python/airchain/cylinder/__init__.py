"""The crank-resolved engine: camshafts, operating points, cycles, and the breathing they make."""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
