"""The documents that are handed over."""
