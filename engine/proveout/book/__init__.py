"""The book: entries of all layers out of nodes, checked and compiled; the structure of trouble codes."""
