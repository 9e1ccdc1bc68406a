"""In which units texts show readings, limits and figures: as they were written, or in one system."""

#: The preferences, as ``--display`` takes them.
AS_WRITTEN, METRIC, US = "as-written", "metric", "us"
