"""Signing on the pages: a key of one's own, the record read in full, the passphrase; what employers see of it."""

from __future__ import annotations

import io
import re
from collections.abc import Callable

import pytest

from tests.conftest import Browser
from tests.entering import make_level_iii, verified
from tests.make import People
from tests.signing import KEY_PASSPHRASE, fresh, make_key
from trainer.records import cosigning
from trainer.records.keys import SigningKey
from trainer.services.proving import issuers, personal_keys
from trainer.settings import Settings
from trainer.store import Database
from trainer.web.protection import PER_MACHINE

EXPERT_KEY = SigningKey(fresh(3).key)


@pytest.fixture
def expert(store: Database, people: People) -> int:
    """The Level III, who countersigned an examination of Tess and holds a key."""
    with store.writing() as session:
        found = make_level_iii(session)
        verified(session, people.tess, people.ian, "instructor", found, "examination")
        make_key(session, found, 3)
    return found


@pytest.fixture
def as_expert(expert: int, signed_in: Callable[[int], Browser]) -> Browser:
    """The Level III's browser."""
    return signed_in(expert)


def export(as_emma: Browser, people: People, *values: str, form: str = "credential") -> bytes:
    """Export Tess's record for these signers."""
    sent = as_emma.send(f"/employer/exports/{people.tess}", {"form": form, "signer": list(values)})
    assert sent.status_code == 200, sent.get_data(as_text=True)
    return sent.data


def page(browser: Browser, address: str) -> str:
    """A page as text."""
    return browser.get(address).get_data(as_text=True)


def test_a_key_is_made_with_a_passphrase(as_ian: Browser, store: Database, people: People) -> None:
    """Made once, shown by its public name; two that differ and a weak one are told at their field."""
    for first, second in (
        ("yoke prod lead meter", "yoke prod lead"),
        ("short", "short"),
        ("a" * 20, "a" * 20),
        ("", ""),
    ):
        refused = as_ian.send("/signing/key", {"new-passphrase": first, "new-again": second})
        assert (refused.status_code, "fault" in refused.get_data(as_text=True)) == (422, True)
        assert "yoke" not in refused.get_data(as_text=True)
    made = as_ian.send("/signing/key", {"new-passphrase": KEY_PASSPHRASE, "new-again": KEY_PASSPHRASE})
    assert made.status_code == 303
    with store.reading() as session:
        row = personal_keys.current(session, people.ian)
        assert row is not None
        assert personal_keys.open_key(row, KEY_PASSPHRASE).did == row.did
    assert row.did in page(as_ian, "/signing/")
    again = as_ian.send("/signing/key", {"new-passphrase": KEY_PASSPHRASE, "new-again": KEY_PASSPHRASE})
    assert (again.status_code, "hold a key already" in again.get_data(as_text=True)) == (409, True)


def test_read_then_sign(
    as_emma: Browser, as_expert: Browser, nobody: Browser, people: People, expert: int
) -> None:
    """Named, read, signed by passphrase; file and page then say so, in the record and to a visitor."""
    record = export(as_emma, people, f"{expert} Level III")
    assert "1 record waits for your signature" in page(as_expert, "/signing/")
    unread = as_expert.send("/signing/1/sign", {"passphrase": KEY_PASSPHRASE})
    assert (unread.status_code, "not been before you" in unread.get_data(as_text=True)) == (422, True)
    shown = page(as_expert, "/signing/1")
    for words in (
        "Prerequisites for MT Level I",
        "TV-07 Tess",
        "general",
        "not yet signed",
        "I have read it, and I sign",
    ):
        assert words in shown
    wrong = as_expert.send("/signing/1/sign", {"passphrase": "another four words here"})
    assert (wrong.status_code, "not the passphrase" in wrong.get_data(as_text=True)) == (422, True)
    assert as_expert.send("/signing/1/sign", {"passphrase": KEY_PASSPHRASE}).status_code == 303
    twice = as_expert.send("/signing/1/sign", {"passphrase": KEY_PASSPHRASE})
    assert (twice.status_code, "You signed it as Level III" in twice.get_data(as_text=True)) == (422, True)
    assert "You signed it as Level III" in page(as_expert, "/signing/1")
    assert "Level III of the house, signed" in page(as_emma, f"/employer/exports/{people.tess}")
    file = as_emma.send("/employer/exports/records/1/file").data
    before, after = (
        nobody.send("/verify", {"file": (io.BytesIO(data), "tess.json")}).get_data(as_text=True)
        for data in (record, file)
    )
    assert "Not yet signed by the Level III, Level III of the house." in before
    assert "Signed on 2026-11-25 by the Level III, Level III of the house." in after
    assert "that it is theirs is the issuer" in after
    assert EXPERT_KEY.did in after


def test_guessing_at_a_key_is_slowed(
    as_emma: Browser, as_expert: Browser, people: People, expert: int
) -> None:
    """After so many tries even the right passphrase waits, on whichever page it is tried."""
    export(as_emma, people, f"{expert} Level III")
    as_expert.get("/signing/1")
    for _try in range(PER_MACHINE):
        assert as_expert.send("/signing/1/sign", {"passphrase": ""}).status_code == 422
    assert as_expert.send("/signing/1/sign", {"passphrase": KEY_PASSPHRASE}).status_code == 429
    assert as_expert.send("/signing/key/change", {}).status_code == 429
    assert as_expert.send("/signing/key/passphrase", {}).status_code == 429
    assert as_emma.send("/signing/key/change", {}).status_code == 422


def test_another_passphrase_for_the_same_key(as_ian: Browser, store: Database, people: People) -> None:
    """Its public name stays; what is faulty is told at its field; nobody without a key changes one."""
    other = "axle draw hook toil"
    wanted = {"words-old": KEY_PASSPHRASE, "words-passphrase": other, "words-again": other}
    none = as_ian.send("/signing/key/passphrase", wanted)
    assert (none.status_code, "hold no key" in none.get_data(as_text=True)) == (409, True)
    as_ian.send("/signing/key", {"new-passphrase": KEY_PASSPHRASE, "new-again": KEY_PASSPHRASE})
    for faulty, says in (
        ({"words-old": "four wrong words here"}, "not the passphrase"),
        ({"words-again": "axle draw hook"}, "The two are not the same"),
        ({"words-passphrase": "short", "words-again": "short"}, "12 characters or more"),
    ):
        reply = as_ian.send("/signing/key/passphrase", wanted | faulty)
        assert (reply.status_code, says in reply.get_data(as_text=True)) == (422, True)
    assert as_ian.send("/signing/key/passphrase", wanted).status_code == 303
    assert "It is the same key" in page(as_ian, "/signing/")
    with store.reading() as session:
        (row,) = personal_keys.all_of(session, people.ian)
    assert personal_keys.open_key(row, other).did == row.did


def test_others_find_no_record_to_sign(
    as_emma: Browser, as_ian: Browser, as_tess: Browser, people: People, expert: int
) -> None:
    """Whoever is not named gets 404, a trainee is refused."""
    export(as_emma, people, f"{expert} Level III")
    for browser, status in ((as_emma, 404), (as_ian, 404), (as_tess, 403)):
        assert browser.get("/signing/1").status_code == status
        assert browser.send("/signing/1/sign", {"passphrase": KEY_PASSPHRASE}).status_code == status


def test_what_cannot_be_named_is_told(as_emma: Browser, people: People, expert: int) -> None:
    """One person in two roles: told at the boxes, with what was ticked kept; nothing is exported."""
    values = [f"{expert} Level III", f"{expert} examiner"]
    sent = as_emma.send(f"/employer/exports/{people.tess}", {"form": "credential", "signer": values})
    text = sent.get_data(as_text=True)
    assert (sent.status_code, "signs once: tick one role" in text) == (422, True)
    assert len(re.findall(r'name="signer"[^>]* checked', text)) == 2
    assert "None yet." in page(as_emma, f"/employer/exports/{people.tess}")


def test_signers_play_no_part_in_tables(as_emma: Browser, people: People, expert: int) -> None:
    """A form that is not signed is exported whatever is ticked."""
    assert export(as_emma, people, "nonsense", form="csv").startswith(b"\xef\xbb\xbf")


def test_a_signed_copy_is_taken_in(as_emma: Browser, people: People, expert: int) -> None:
    """What was signed with the command comes back; another file is told at its field."""
    record = export(as_emma, people, f"{expert} Level III")
    copy = cosigning.cosigned(record, EXPERT_KEY, "Level III", "2026-11-25T12:00:00Z")
    for data in (b"", b"{}", record.replace(b"TV-07", b"TV-08"), record):
        sent = as_emma.send("/employer/exports/records/1/signed", {"file": (io.BytesIO(data), "tess.json")})
        assert (sent.status_code, 'id="file-1-fault"' in sent.get_data(as_text=True)) == (422, True)
    done = as_emma.send("/employer/exports/records/1/signed", {"file": (io.BytesIO(copy), "tess.json")})
    assert done.status_code == 303
    assert as_emma.send("/employer/exports/records/1/file").data == copy


def test_a_key_is_changed_or_given_up(as_expert: Browser, store: Database, expert: int) -> None:
    """With its passphrase it introduces the next one; without, it is given up and the next stands alone."""
    assert as_expert.send("/signing/key/introduction").status_code == 404
    new = {"change-passphrase": "four other words here", "change-again": "four other words here"}
    wrong = as_expert.send("/signing/key/change", {**new, "change-old": "not the passphrase"})
    assert (wrong.status_code, 'id="change-old-fault"' in wrong.get_data(as_text=True)) == (422, True)
    assert as_expert.send("/signing/key/change", {**new, "change-old": KEY_PASSPHRASE}).status_code == 303
    said = as_expert.send("/signing/key/introduction")
    assert said.headers["Content-Disposition"] == 'attachment; filename="my-new-key.json"'
    assert EXPERT_KEY.did in said.get_data(as_text=True)
    assert EXPERT_KEY.did in page(as_expert, "/signing/")
    assert as_expert.send("/signing/key/give-up").status_code == 303
    assert as_expert.send("/signing/key/give-up").status_code == 409
    assert as_expert.send("/signing/key/change", {**new, "change-old": KEY_PASSPHRASE}).status_code == 409
    named = SigningKey(b"e" * 32).did
    assert as_expert.send("/signing/key/elsewhere", {"named-did": "did:key:none"}).status_code == 422
    assert as_expert.send("/signing/key/elsewhere", {"named-did": named}).status_code == 303
    assert "kept by you, elsewhere" in page(as_expert, "/signing/")


def test_records_of_a_key_that_has_gone(
    as_emma: Browser, as_expert: Browser, store: Database, people: People, expert: int
) -> None:
    """A record that names an earlier key says so; one that names a key kept elsewhere gives the command."""
    export(as_emma, people, f"{expert} Level III")
    as_expert.send("/signing/key/give-up")
    for address in ("/signing/", "/signing/1"):
        assert "a key that you no longer use" in page(as_expert, address)
    as_expert.send("/signing/key/elsewhere", {"named-did": SigningKey(b"e" * 32).did})
    export(as_emma, people, f"{expert} Level III")
    assert 'trainer sign FILE --key KEYFILE --as "Level III"' in page(as_expert, "/signing/2")


def test_an_employer_pins_the_keys_of_signers(
    as_emma: Browser, people: People, expert: int, settings: Settings, nobody: Browser
) -> None:
    """Own people's keys are offered on the page of issuers; pinned, they count beside an issuer and issue nothing."""
    shown = page(as_emma, "/employer/issuers/")
    assert "Compared: put the key of Level III of the house on the list" in shown
    sent = {"did": EXPERT_KEY.did, "name": "Ada", "reason": "compared", "may": "beside"}
    assert as_emma.send("/employer/issuers/pin", sent).status_code == 303
    pin = next(one for one in issuers.pinned(settings.instance) if one.did == EXPERT_KEY.did)
    assert (pin.name, pin.beside_only) == ("Ada", True)
    shown = page(as_emma, "/employer/issuers/")
    assert "a signer beside an issuer" in shown
    assert "Compared: put the key" not in shown
    assert b'"beside_only": true' in nobody.get("/verify/page").data
    record = export(as_emma, people, f"{expert} Level III")
    signed = cosigning.cosigned(record, EXPERT_KEY, "Level III", "2026-11-25T12:00:00Z")
    told = nobody.send("/verify", {"file": (io.BytesIO(signed), "tess.json")}).get_data(as_text=True)
    assert "The key is on your list as Ada." in told


def test_nobody_can_sign_yet(as_emma: Browser, people: People) -> None:
    """Without anybody's key the page of exports says what is to be done."""
    assert "make a key of their own under Sign records first" in page(
        as_emma, f"/employer/exports/{people.tess}"
    )
