"""What stands between the pages and the network refuses what no browser of ours would send."""

from __future__ import annotations

from tests.conftest import Browser
from tests.make import People


def test_a_character_that_nobody_types_is_refused(people: People, as_tess: Browser) -> None:
    """NUL in an address names nothing; in a field it is refused with a sentence, in every kind of store."""
    assert as_tess.get("/record/entries/%00").status_code == 404
    for reply in (as_tess.get("/?next=%00"), as_tess.send("/join", {"code": "a\0b"})):
        assert (reply.status_code, "no keyboard" in reply.get_data(as_text=True)) == (422, True)
