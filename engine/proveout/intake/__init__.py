"""An intake document and the book give a case; a case gives facts and observations."""

from proveout.intake.document import case_of, unknown_id
from proveout.intake.index import Index, index_for, index_of
from proveout.intake.readings import judged, own_limits, readings_of
from proveout.intake.resolve import Choice, Named, choose, resolve
from proveout.intake.sheet import sheet_of
from proveout.intake.telling import notes, said
from proveout.intake.words import Candidate, Match, match

__all__ = [
    "Candidate",
    "Choice",
    "Index",
    "Match",
    "Named",
    "case_of",
    "choose",
    "index_for",
    "index_of",
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
