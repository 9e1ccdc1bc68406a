"""What to do next: the inspection worth its cost, the tool worth its price, and the verdict with its reasons.

``problem``, ``moves``, ``steps``, ``ecr``, ``outlook`` and ``lookahead`` plan in plain numbers; the others
speak for the book.
"""
