"""Ten thousand papers of each plan with the numbers of three schemes: filled, no enemies, no repeats, topics met.

python -m tests.benchmarks.assemble_papers
"""

from __future__ import annotations

import time
from collections import Counter

from tests.examinations.test_assembly import BANK, PLANS, check_questions_of, composition
from trainer.examinations.assembly import assemble, pool_of

PAPERS = 10_000


def main() -> None:
    """Print for each plan how many papers were filled, how long one took, how evenly questions were used."""
    for plan, scheme in PLANS:
        made = composition(plan, scheme)
        pool, uses, unfilled = pool_of(BANK, made), Counter[str](), 0
        began = time.perf_counter()
        papers = []
        for seed in range(PAPERS):
            found = assemble(made, pool, uses, seed)
            unfilled += bool(found.lacks)
            uses.update(found.questions)
            papers.append(found.questions)
        took = 1000 * (time.perf_counter() - began) / PAPERS
        for questions in papers:
            check_questions_of(made, questions)
        most = max(uses.values()) / PAPERS
        print(
            f"{plan} {scheme}: {made.count} of {len(pool)}, {PAPERS} papers, {unfilled} not filled, "
            f"{took:.2f} ms each; the most used question stood on {most:.0%}, {len(uses)} were used"
        )


if __name__ == "__main__":
    main()
