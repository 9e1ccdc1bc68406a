"""The case file: append, lock, verify, replay, close."""
