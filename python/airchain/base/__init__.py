"""What every room stands on: errors, optional packages, files written whole, engine speeds."""
