"""An intake document and the book give a case; a case gives facts and observations."""

from proveout.intake.document import case_of, unknown_id
from proveout.intake.readings import judged, own_limits
from proveout.intake.resolve import Named, resolve
from proveout.intake.index import Index, index_of
from proveout.intake.sheet import sheet_of
from proveout.intake.words import Match, match

__all__ = ["Match", "Named", "case_of", "judged", "match", "own_limits", "resolve", "sheet_of", "unknown_id"]
