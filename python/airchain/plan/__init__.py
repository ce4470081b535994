"""Planning drive levels: which gear pairs and pulleys, what they leave to the limits, what next."""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
