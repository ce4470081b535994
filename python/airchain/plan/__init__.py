"""Planning drive levels: which gear pairs and pulleys, what they leave to the limits, what next."""
