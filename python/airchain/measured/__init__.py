"""Measured pulls: read from any logger's file, checked, corrected and compared."""
