"""Units in and out: texts such as ``"427 in^3"`` to SI, and SI to trade or SI display units."""

from .convert import display, formatted, from_si, to_si, unit_label

__all__ = ["display", "formatted", "from_si", "to_si", "unit_label"]
