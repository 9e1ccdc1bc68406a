"""The book: entries of all layers out of nodes, checked and compiled; the structure of trouble codes."""

from proveout.book.codes import CodeForm, parse_code
from proveout.book.load import check, load_book
from proveout.book.shipped import cases_dir, rules_dir, schemas_dir

__all__ = ["CodeForm", "cases_dir", "check", "load_book", "parse_code", "rules_dir", "schemas_dir"]
