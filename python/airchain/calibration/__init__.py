"""One calibration of fuel and spark for all drive levels."""
