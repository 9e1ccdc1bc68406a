"""Posterior, costs and tools give the next inspection, a tool worth buying and the verdict."""
