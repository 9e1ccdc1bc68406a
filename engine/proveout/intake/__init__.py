"""An intake document and the book give a case; a case gives facts and observations."""

from proveout.intake.document import case_of, unknown_id
from proveout.intake.readings import judged, own_limits, readings_of
from proveout.intake.resolve import Named, resolve
from proveout.intake.sheet import sheet_of
from proveout.intake.telling import notes, said
from proveout.intake.words import Match, match

__all__ = [
    "Match",
    "Named",
    "case_of",
    "judged",
    "match",
    "notes",
    "own_limits",
    "readings_of",
    "resolve",
    "said",
    "sheet_of",
    "unknown_id",
]
