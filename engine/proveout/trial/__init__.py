"""Rule examples, expected cases and simulations run against the book."""
