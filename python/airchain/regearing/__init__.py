"""A faster drive later: the pairs that fit, what gives first, and the pull on the way there."""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
