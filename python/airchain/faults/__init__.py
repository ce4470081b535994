"""What is wrong with a pull: faults by name, ranked by how well each explains what was read."""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
