"""Fitting the chain to measured pulls, predicting the next step, explaining differences."""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
