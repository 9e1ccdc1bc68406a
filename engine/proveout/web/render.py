"""Pages from templates: what is filled in is escaped, and shown in the words that the terminal uses."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from proveout.measure.display import unit_sign
from proveout.show.figures import cause_title, minutes, money, percent
from proveout.show.inspection import DEFERENCE
from proveout.text.lowered import lowered
from proveout.text.unhyphened import unhyphened
from proveout.text.visible import visible

_PAGES = Environment(
    loader=PackageLoader("proveout.web"),
    autoescape=True,
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)
_PAGES.filters.update(percent=percent, money=money, minutes=minutes, lowered=lowered, unhyphened=unhyphened)
_PAGES.filters["sign"] = unit_sign
_PAGES.filters["day"] = lambda at: at[:10]
_PAGES.globals.update(cause_title=cause_title, deference=DEFERENCE)


def rendered(template: str, data: Mapping[str, Any]) -> str:
    """Return a page; characters that hide or move others are shown as escapes."""
    return visible(_PAGES.get_template(template).render(**data))


def drawn(svg: str) -> Markup:
    """Mark a picture of our own as not to be escaped; its words are escaped where it is made."""
    return Markup(svg)
