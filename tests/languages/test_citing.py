"""What a record cites: the name of a document stays, a rule of our own is said in the reader's words."""

from __future__ import annotations

import pytest

from trainer.bank.citing import OURS, cited
from trainer.languages import reading_in


def test_a_document_of_others_keeps_its_name() -> None:
    with reading_in("es"):
        assert cited("two leads in series", "read") == "two leads in series"


@pytest.mark.parametrize("status", sorted(OURS))
def test_a_rule_of_our_own_is_said(status: str) -> None:
    with reading_in("es"):
        assert cited("two leads in series", status) == "dos cables en serie"
        assert cited(None, status) == ""
