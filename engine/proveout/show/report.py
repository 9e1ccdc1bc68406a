"""One self-contained HTML page of a case, to print or to hand over: no script, nothing fetched."""

from __future__ import annotations

import re
from html import escape, unescape

from proveout.app.story import Story
from proveout.model.preference import AS_WRITTEN
from proveout.show.glossary import words_html
from proveout.show.html import document
from proveout.show.report_argument import argument_part
from proveout.show.report_audit import audit_part
from proveout.show.report_customer import customer_page, title_of

#: For whom a report can be: the first page alone, the argument as well, or the audit as well.
CUSTOMER, TECHNICIAN, ASSESSOR = "customer", "technician", "assessor"
READERS = (CUSTOMER, TECHNICIAN, ASSESSOR)


def report_html(story: Story, reader: str = ASSESSOR, display: str = AS_WRITTEN) -> str:
    """Return the page; every text of the case and the book is escaped.

    Args:
        story: the case.
        reader: one of ``READERS``.
        display: preference for the units of texts and figures.
    """
    parts = [customer_page(story)]
    if reader != CUSTOMER:
        parts.append(argument_part(story, display))
    if reader == ASSESSOR:
        parts.append(audit_part(story))
    said = (re.sub(r"<style.*?</style>|<[^>]+>", " ", part, flags=re.DOTALL) for part in parts)
    parts.append(words_html(story.book, [unescape(" ".join(said))]))
    head = f" Head of the record: {story.events[-1].digest}." if story.events else ""
    layers = ", ".join(story.book.layers) if not story.redacted else f"{len(story.book.layers)}"
    parts.append(f"<footer>Book {story.answer.book_digest}, layers {escape(layers)}.{head}</footer>")
    return document(title_of(story), parts)
