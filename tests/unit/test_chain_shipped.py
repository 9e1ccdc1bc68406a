"""The shipped book can be closed whatever is known of a case, and no engine hangs on it."""

from __future__ import annotations

import pytest

from helpers_chain import apart

#: Seconds for what takes about half a minute on a quiet machine and several on a busy one; a process apart,
#: since a hang inside the library cannot be interrupted.
LIMIT = 900.0


@pytest.mark.long(40)
def test_the_shipped_book_cannot_hang_the_engine() -> None:
    """Everything at once, nothing, each fact alone, and random parts; all engines and brute force agree."""
    script = """
        import random
        from helpers_chain import agreed, by_force
        from helpers_shipped import shipped_book
        book = shipped_book()
        conditions = [rule.when for rule in book.rules.values()]
        known = sorted({atom for when in conditions for atom in when.atoms if atom.kind != "finding"})
        positive = {atom for when in conditions for atom in when.all_of + when.any_of if atom in known}
        rng = random.Random(7)
        parts = [rng.sample(known, rng.randrange(1, len(known))) for _ in range(30)]
        parts += [rng.sample(known, rng.randrange(2, 12)) for _ in range(60)]
        cases = [known, sorted(positive), [], *([atom] for atom in known), *parts]
        fired = set()
        for case in cases:
            chained = agreed(book, case)
            assert chained == by_force(book, case)
            fired.update(step.rule for step in chained.fired)
        print(len(cases) - len(known), len(fired) > 0.9 * len(book.rules) > 80)
    """
    assert apart(script, LIMIT) == ("done", "93 True")
