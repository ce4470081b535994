"""The live view: sliders on a build, in a notebook and as a page in one file."""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
