"""The track: what the tyres take of each level, runs over a distance, and torque taken back."""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
