"""Measured pulls: read from any logger's file, checked, corrected and compared."""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
