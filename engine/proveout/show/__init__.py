"""Result objects to terminal text, JSON, HTML and SVG; no decisions here."""

from proveout.show.documents import problems_document, triage_document
from proveout.show.inspection import steps_text
from proveout.show.triage import headline, triage_text
from proveout.show.why import why_text

__all__ = ["headline", "problems_document", "steps_text", "triage_document", "triage_text", "why_text"]
