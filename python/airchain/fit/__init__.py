"""Fitting the chain to measured pulls, predicting the next step, explaining differences."""
