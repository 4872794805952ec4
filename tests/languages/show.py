"""Print what no catalogue can reach, page by page: python -m tests.languages.show [start of the page's name]."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from tests.browser.whole_house import filled
from tests.languages.test_every_word import MARKED, unmarked_texts
from tests.languages.unmarked import TAG
from trainer import languages
from trainer.settings import Settings


def main() -> None:
    """Fill a house, read every page with marks, print what has none."""
    start = sys.argv[1] if len(sys.argv) > 1 else ""
    languages.LANGUAGES[TAG] = "marks"
    for module, name, marks in MARKED:
        setattr(module, name, lambda _tag, marks=marks: marks)
    with tempfile.TemporaryDirectory() as folder:
        house = filled(Settings(instance=Path(folder)))
        for name, texts in sorted(unmarked_texts(house).items()):
            if name.startswith(start):
                print(f"== {name}")
                print(*dict.fromkeys(texts), sep="\n")
        house.parts.database.close()


if __name__ == "__main__":
    main()
