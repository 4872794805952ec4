"""Sets a sheet as PDF: what is shown goes in as data, the same data give the same bytes."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import datetime
from importlib.resources import files

from trainer.errors import Refused


def pdf(form: str, shown: Mapping[str, object], made: datetime) -> bytes:
    """Fill a form of this folder, such as ``handout.typ``. Raises Refused for a sign that no font here has."""
    import typst

    folder = files("trainer.printing")
    try:
        drawn = typst.compile(
            b"\n".join(folder.joinpath(name).read_bytes() for name in ("sheet.typ", form)),
            format="pdf", sys_inputs={"shown": json.dumps(shown, ensure_ascii=False)},
            timestamp=made.replace(microsecond=0),  # a PDF states whole seconds
        )  # fmt: skip
    except typst.TypstError:
        drawn = None
    if not isinstance(drawn, bytes):
        raise Refused("The sheets cannot be drawn; a name may hold signs that no font here has.")
    return drawn
