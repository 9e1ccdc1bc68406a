"""Facts and the book's rules give findings, fired rules and the trace."""

from proveout.chain.closing import close, default_engine, engines

__all__ = ["close", "default_engine", "engines"]
