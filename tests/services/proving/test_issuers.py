"""The list of issuers: the own key is on it from the start, others are pinned with a reason by an employer."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from sqlalchemy.orm import Session

from tests.make import NOW, People, make_people, make_person
from trainer.errors import Conflict, NotAllowed, NotFound, Refused, Unreadable
from trainer.records import issuers as pinning
from trainer.records import jcs
from trainer.records.keys import SigningKey
from trainer.services.keeping import audit
from trainer.services.proving import issuers, signing_key

OTHER = SigningKey(b"o" * 32)
NEWER = SigningKey(b"n" * 32)


@pytest.fixture
def four(session: Session) -> People:
    """The four."""
    return make_people(session)


def test_the_own_key_is_on_the_list_from_the_start(tmp_path: Path) -> None:
    """Where the key is made it is pinned, and once the house has a name it gets that name."""
    key = signing_key.ensure(tmp_path)
    assert [(one.did, one.name) for one in issuers.pinned(tmp_path)] == [(key.did, issuers.OWN_NAME)]
    issuers.ensure_own(tmp_path, key.did, "Tarn Valley")
    issuers.ensure_own(tmp_path, key.did, "Another name")
    assert [one.name for one in issuers.pinned(tmp_path)] == ["Tarn Valley"]
    assert (tmp_path / issuers.FILE).stat().st_mode & 0o077 == 0


def test_pinning_and_unpinning(session: Session, four: People, tmp_path: Path) -> None:
    """A pinned key is believed, noted with its reason, and can be taken off again."""
    issuers.pin(session, tmp_path, four.emma, f" {OTHER.did} ", "Hook and  Chain", "by telephone", NOW)
    assert [(one.did, one.name) for one in issuers.pinned(tmp_path)] == [(OTHER.did, "Hook and Chain")]
    assert issuers.decisions(session, four.emma) == {OTHER.did: (NOW, "Emma")}
    assert issuers.decisions(session, four.omar) == {}
    with pytest.raises(Conflict):
        issuers.pin(session, tmp_path, four.emma, OTHER.did, "Again", "by telephone", NOW)
    issuers.unpin(session, tmp_path, four.emma, OTHER.did, "", "key lost", date(2026, 10, 1), NOW)
    assert issuers.pinned(tmp_path)[0].valid_to == date(2026, 10, 1)
    issuers.unpin(session, tmp_path, four.emma, OTHER.did, "", "house closed", None, NOW)
    assert issuers.pinned(tmp_path) == ()
    with pytest.raises(NotFound):
        issuers.unpin(session, tmp_path, four.emma, OTHER.did, "", "again", None, NOW)
    told = [link.event["what"] for link in audit.recent(session, 3)]
    assert told == ["issuer unpinned", "issuer limited", "issuer pinned"]
    issuers.pin(session, tmp_path, four.emma, OTHER.did, "Back", "by telephone", NOW)
    assert len(issuers.pinned(tmp_path)) == 1


@pytest.mark.parametrize(
    ("did", "name", "reason", "error"),
    [
        ("did:key:z6Mkx", "House", "told", Unreadable),
        ("nonsense", "House", "told", Unreadable),
        (OTHER.did, " ", "told", Refused),
        (OTHER.did, "x" * 300, "told", Refused),
        (OTHER.did, "House", " ", Refused),
        (OTHER.did, "House", "x" * 300, Refused),
    ],
)
def test_what_cannot_be_pinned(
    session: Session, four: People, tmp_path: Path, did: str, name: str, reason: str, error: type[Exception]
) -> None:
    """A key, a name and a reason are needed; otherwise the list stays as it was."""
    with pytest.raises(error):
        issuers.pin(session, tmp_path, four.emma, did, name, reason, NOW)
    assert issuers.pinned(tmp_path) == ()


def test_only_an_employer_decides(session: Session, four: People, tmp_path: Path) -> None:
    """Neither trainee nor instructor changes the list."""
    for by_id in (four.tess, four.ian):
        with pytest.raises(NotAllowed):
            issuers.pin(session, tmp_path, by_id, OTHER.did, "House", "told", NOW)
        with pytest.raises(NotAllowed):
            issuers.unpin(session, tmp_path, by_id, OTHER.did, "", "told", None, NOW)
        with pytest.raises(NotAllowed):
            issuers.accept(session, tmp_path, by_id, b"{}", NOW)


def test_the_own_key_stays(session: Session, four: People, tmp_path: Path) -> None:
    """Taking the own key off is refused: own records would not be known."""
    own = signing_key.ensure(tmp_path).did
    with pytest.raises(Refused, match="your own installation signs"):
        issuers.unpin(session, tmp_path, four.emma, own, own, "try", None, NOW)


def test_each_house_has_its_own_list(session: Session, four: People, tmp_path: Path) -> None:
    """What only another house believes is not there for us; both may believe the same key, each for itself."""
    boss = make_person(session, "HK-90", "Other", {"employer"}, house="Hook and Chain Works").id

    def lists() -> list[list[str]]:
        return [[one.did for one in issuers.of_house(session, tmp_path, who)] for who in (four.emma, boss)]

    issuers.pin(session, tmp_path, four.emma, OTHER.did, "Coil House", "by telephone", NOW)
    assert lists() == [[OTHER.did], []]
    with pytest.raises(NotFound):
        issuers.unpin(session, tmp_path, boss, OTHER.did, "", "not mine", None, NOW)
    issuers.pin(session, tmp_path, boss, OTHER.did, "Coil House", "met in person", NOW)
    assert lists() == [[OTHER.did], [OTHER.did]]
    issuers.unpin(session, tmp_path, four.emma, OTHER.did, "", "no business any more", None, NOW)
    assert (lists(), len(issuers.pinned(tmp_path))) == ([[], [OTHER.did]], 1)
    told = jcs.written(
        pinning.introduction(
            OTHER,
            NEWER,
            "Coil House",
            "urn:uuid:6c1f6bd1-77e6-4a6c-a1e5-6f0d3f6b1a11",
            "2026-11-20T09:00:00Z",
        )
    )
    with pytest.raises(Refused):
        issuers.accept(session, tmp_path, four.emma, told, NOW)
    issuers.accept(session, tmp_path, boss, told, NOW)
    assert lists() == [[], [OTHER.did, NEWER.did]]
    issuers.unpin(session, tmp_path, boss, OTHER.did, "", "closed", None, NOW)
    assert lists() == [[], [NEWER.did]]


def test_an_introduced_key_is_taken_up(session: Session, four: People, tmp_path: Path) -> None:
    """The old key introduces the new one, and stays for what it signed before."""
    issuers.pin(session, tmp_path, four.emma, OTHER.did, "Hook and Chain", "by telephone", NOW)
    told = pinning.introduction(
        OTHER,
        NEWER,
        "Hook and Chain",
        "urn:uuid:6c1f6bd1-77e6-4a6c-a1e5-6f0d3f6b1a11",
        "2026-11-20T09:00:00Z",
    )
    new = issuers.accept(session, tmp_path, four.emma, jcs.written(told), NOW)
    assert (new.did, new.introduced_by) == (NEWER.did, OTHER.did)
    assert issuers.pinned(tmp_path)[0].valid_to == date(2026, 11, 20)
    with pytest.raises((Refused, Unreadable)):
        issuers.accept(session, tmp_path, four.emma, b"{}", NOW)


def test_a_spoilt_list_is_named(tmp_path: Path) -> None:
    """A list that is no TOML, no UTF-8 or far too long is told with its name."""
    for data in (b"[[issuer", b"\xff\xfe", b"#" * 1_000_001):
        (tmp_path / issuers.FILE).write_bytes(data)
        with pytest.raises(Unreadable, match=r"issuers\.toml"):
            issuers.pinned(tmp_path)


def test_a_signers_key_is_pinned_as_one(session: Session, four: People, tmp_path: Path) -> None:
    """It stands in the file as such, the note says so, and a day up to which it is believed keeps it so."""
    issuers.pin(session, tmp_path, four.emma, OTHER.did, "Ian", "compared", NOW, beside_only=True)
    assert audit.recent(session, 1)[0].event["facts"]["kind"] == "signer"
    issuers.unpin(session, tmp_path, four.emma, OTHER.did, "", "lost", date(2026, 10, 1), NOW)
    (pin,) = issuers.pinned(tmp_path)
    assert (pin.beside_only, pin.valid_to) == (True, date(2026, 10, 1))


def test_two_houses_do_not_believe_one_key_differently(
    session: Session, four: People, tmp_path: Path
) -> None:
    """There is one list: what one house believes as a signer's, another cannot make an issuer's unseen."""
    boss = make_person(session, "HK-90", "Other", {"employer"}, house="Hook and Chain Works").id
    issuers.pin(session, tmp_path, four.emma, OTHER.did, "Ian", "compared", NOW, beside_only=True)
    with pytest.raises(Conflict, match="otherwise"):
        issuers.pin(session, tmp_path, boss, OTHER.did, "Ian", "told", NOW)
    assert issuers.pinned(tmp_path)[0].beside_only
