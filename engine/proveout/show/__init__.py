"""Result objects to terminal text, JSON, HTML and SVG; no decisions here."""
