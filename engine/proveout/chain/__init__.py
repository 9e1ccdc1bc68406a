"""Facts and rules give findings and the trace of the rules that hold. One interface, two engines."""

from proveout.chain.applying import applying
from proveout.chain.closing import close, default_engine, engines

__all__ = ["applying", "close", "default_engine", "engines"]
