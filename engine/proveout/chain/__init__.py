"""Facts and the book's rules give findings, fired rules and the trace."""
