"""Result objects to terminal text, JSON, HTML and SVG; no decisions here."""

from proveout.show.change import change_text
from proveout.show.code import code_document, code_text
from proveout.show.documents import advice_document, problems_document, triage_document
from proveout.show.entry import catalogue, entry_text
from proveout.show.inspection import steps_text
from proveout.show.triage import headline, triage_text
from proveout.show.trials import trials_document, trials_text
from proveout.show.why import why_text

__all__ = [
    "advice_document",
    "catalogue",
    "change_text",
    "code_document",
    "code_text",
    "entry_text",
    "headline",
    "problems_document",
    "steps_text",
    "triage_document",
    "triage_text",
    "trials_document",
    "trials_text",
    "why_text",
]
