"""Text to quantities, meter uncertainty, and a reading's conformity to its limits."""
