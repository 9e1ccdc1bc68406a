"""The compiled book: a data file read entry by entry, found again until what it was made from changes."""
