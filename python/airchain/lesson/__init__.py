"""A lesson that asks before it answers: guesses at a build's air, judged by its own chain."""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
