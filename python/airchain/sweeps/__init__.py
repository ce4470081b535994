"""Many chains at once: grids in memory or in a folder, samples, what moves a figure, the best."""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
