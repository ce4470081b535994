"""A build of the chain and what it answers: pulls, stations, ladders, sweeps, cycles."""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
