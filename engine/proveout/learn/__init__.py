"""Closed, confirmed cases give a layer of base rates and frequencies, and scores of the forecasts."""
