"""Rule-engine triage of check-engine codes: from codes, symptoms and readings to a checkable verdict."""

__version__ = "0.1.0"
