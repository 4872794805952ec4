"""What of the own items is approved, in every house: what stands in the bank, and what lies in its folder."""

from __future__ import annotations

from collections.abc import Iterator

from sqlalchemy.orm import Session

from trainer.services.authoring import own_seal
from trainer.services.authoring.drafts import every, live


def standing(session: Session) -> Iterator[tuple[str, str, bool]]:
    """Place and text of every revision of any house that ever was approved, and whether it lies in the bank's folder.

    Of what is sealed the text is told while it is unlocked, so that a file of it can be taken away.
    """
    for draft in every(session):
        now = live(draft)
        for revision in filter(own_seal.was_approved, draft.revisions):
            if revision.sealed is None:
                yield revision.place, revision.text, revision is now
            else:
                yield from (
                    (revision.place, text, False) for _kind, text in own_seal.texts([(draft.kind, revision)])
                )


def sealed_texts(session: Session) -> list[tuple[str, str]]:
    """Kind and text of what stands in the bank under a seal, as far as it is unlocked."""
    lives = ((draft.kind, live(draft)) for draft in every(session))
    return own_seal.texts((kind, one) for kind, one in lives if one is not None)
