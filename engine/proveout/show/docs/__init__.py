"""The book as static pages: what each entry says, and where it is used."""
