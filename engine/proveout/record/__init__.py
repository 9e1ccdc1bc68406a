"""The case file: append, lock, verify, fold, close; snapshots of the book; an index over many cases."""
