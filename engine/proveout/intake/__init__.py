"""An intake document and the book give a case; a case gives facts and observations."""
