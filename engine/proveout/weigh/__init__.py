"""From what is known of a case to the probability of every set of causes, and why.

``infer`` goes the whole way. ``table`` says how one observable answers to causes, ``network`` which evidence
counts, ``posterior`` what follows, ``ledgers`` why, ``spoken`` and ``silent`` by which rules, and
``sensitivity`` what it hangs on. ``likelihood`` serves planning.
"""
