"""Sets a sheet as PDF in the reader's language: what is shown goes in as data, the same data give the same bytes."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import datetime
from importlib.resources import files

from trainer.errors import Refused
from trainer.languages import _, elsewhere, language


def pdf(form: str, shown: Mapping[str, object], made: datetime) -> bytes:
    """Fill a form of this folder, such as ``handout.typ``. Raises Refused for a sign that no font here has."""
    import typst

    source = "\n".join(
        files("trainer.printing").joinpath(name).read_text("utf-8") for name in ("sheet.typ", form)
    )
    words = elsewhere.words(elsewhere.texts(".typ", source))
    try:
        drawn = typst.compile(
            source.encode(), format="pdf",
            sys_inputs={
                "shown": json.dumps(shown, ensure_ascii=False), "words": json.dumps(words, ensure_ascii=False),
                "language": language(),
            },
            timestamp=made.replace(microsecond=0),  # a PDF states whole seconds
        )  # fmt: skip
    except typst.TypstError:
        drawn = None
    if not isinstance(drawn, bytes):
        raise Refused(_("The sheets cannot be drawn; a name may hold signs that no font here has."))
    return drawn
