"""Fired rules and observations give the posterior over sets of causes, ledgers and sensitivity."""
