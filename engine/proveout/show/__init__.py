"""Result objects to terminal text, JSON, HTML and SVG; no decisions here."""

from proveout.show.audit import argument_text, audit_document, audit_text
from proveout.show.batch import batch_problems, batch_triage
from proveout.show.change import change_text
from proveout.show.code import code_document, code_text
from proveout.show.deeds import after_repair_text, confirmation_text, ready_text, reminders_text
from proveout.show.documents import advice_document, problems_document, triage_document, why_document
from proveout.show.entry import catalogue, entry_text
from proveout.show.formulas import answers_document, answers_text, formula_text, formulas_text
from proveout.show.inspection import steps_text
from proveout.show.learned import learned_document, learned_text, reliability_svg
from proveout.show.listing import cases_document, cases_text, totals_document, totals_text
from proveout.show.reading import reading_text
from proveout.show.report import report_html
from proveout.show.series import series_svg, series_text
from proveout.show.simulated import simulated_document, simulated_text
from proveout.show.triage import headline, triage_text
from proveout.show.trials import trials_document, trials_text
from proveout.show.why import why_text

__all__ = [
    "advice_document",
    "after_repair_text",
    "answers_document",
    "answers_text",
    "argument_text",
    "audit_document",
    "audit_text",
    "batch_problems",
    "batch_triage",
    "cases_document",
    "cases_text",
    "catalogue",
    "change_text",
    "code_document",
    "code_text",
    "confirmation_text",
    "entry_text",
    "formula_text",
    "formulas_text",
    "headline",
    "learned_document",
    "learned_text",
    "problems_document",
    "reading_text",
    "ready_text",
    "reliability_svg",
    "reminders_text",
    "report_html",
    "series_svg",
    "series_text",
    "simulated_document",
    "simulated_text",
    "steps_text",
    "totals_document",
    "totals_text",
    "triage_document",
    "triage_text",
    "trials_document",
    "trials_text",
    "why_document",
    "why_text",
]
