"""Verifying a thousand signed records, and judging a thousand people, against reading them alone. Run by hand:

python -m tests.benchmarks.records
"""

from __future__ import annotations

import json
import re
import time
from collections import Counter
from pathlib import Path

from tests.qualification.making import schemes
from tests.records.record_cases import DAY, ISSUERS, make_list, make_signed
from trainer.qualification import judge_batch
from trainer.records.verification import verify

RECORDS = 1000
CASES = Path(__file__).parents[1] / "qualification" / "cases.yaml"
IDENTITY = re.compile(r"^- id: (\w+)$", re.MULTILINE)


def main() -> None:
    """Print the seconds of each, and what came out."""
    listed = make_list()
    documents = [
        make_signed(id=f"urn:uuid:6f1d0c0e-4b6e-4f0e-9c2e-{number:012x}") for number in range(RECORDS)
    ]
    began = time.perf_counter()
    for document in documents:
        json.loads(document)
    read = time.perf_counter() - began
    began = time.perf_counter()
    verdicts = Counter(verify(document, ISSUERS, DAY, listed).verdict.value for document in documents)
    took = time.perf_counter() - began
    size = sum(map(len, documents)) / RECORDS / 1000
    print(
        f"{RECORDS} records of {size:.1f} kB verified in {took:.2f} s ({took / read:.0f} times reading them): {dict(verdicts)}"
    )

    text, copies, judged = CASES.read_text(encoding="utf-8"), 0, Counter[str]()
    began = time.perf_counter()
    while judged.total() < RECORDS:
        copies += 1
        renamed = IDENTITY.sub(lambda found: f"- id: {found[1]}-{copies}", text)  # noqa: B023  # used at once
        for outcome in judge_batch(renamed, CASES.name, schemes()):
            judged[outcome.standing.overall.value if outcome.standing else "faulty"] += 1
    took = time.perf_counter() - began
    print(f"{judged.total()} people read and judged in {took:.2f} s: {dict(judged)}")


if __name__ == "__main__":
    main()
