"""People, roles, ways in, sign-ins: who may do what to whom."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

import pytest
from argon2 import PasswordHasher
from argon2.exceptions import VerifyMismatchError
from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.make import HOUSE, NOW, PASSPHRASE, make_people, make_person, make_token
from trainer.errors import Conflict, NotAllowed, NotFound, Refused
from trainer.services.admitting import accounts, joining, particulars, passphrases, sign_in
from trainer.store.models import JoinCode, Person, SignInSession


@pytest.mark.parametrize(
    ("typed", "number"), [(" tv-07 ", "TV-07"), ("t v 7", "TV7"), ("ＴＶ７", "TV7"), ("ä1", "Ä1")]
)
def test_works_numbers_have_one_form(typed: str, number: str) -> None:
    """However a number is typed, the same person is meant."""
    assert particulars.works_number(typed) == number


@pytest.mark.parametrize("typed", ["", "   ", "-7", "TV 7;", "x" * 21, "TV\u20077\u200b", "<b>"])
def test_wrong_works_numbers_are_refused(typed: str) -> None:
    """A number that cannot be typed back, or that hides something, is refused."""
    with pytest.raises(Refused, match="works number"):
        particulars.works_number(typed)


@pytest.mark.parametrize("typed", ["", " \t ", "x" * 101, "Te\u202ess", "Te\x00ss", "a" * 100_000])
def test_wrong_names_are_refused(typed: str) -> None:
    """A name is one line that can be shown."""
    with pytest.raises(Refused, match="The name"):
        particulars.person_name(typed)


def test_a_number_is_given_once(session: Session) -> None:
    """A works number in use, also in another house, is refused."""
    make_people(session)
    with pytest.raises(Conflict, match="TV-07 is in use"):
        make_person(session, "tv-07", "Somebody", house="Hook and Chain Works")


def test_an_instructor_gives_no_functions(session: Session) -> None:
    """Level III and examiner are granted by an employer only."""
    people = make_people(session)
    for role in ("employer", "level_iii", "examiner"):
        with pytest.raises(NotAllowed, match="employer can"):
            accounts.set_roles(session, people.ian, people.tess, frozenset({"trainee", role}), NOW)
    accounts.set_roles(session, people.emma, people.ian, frozenset({"instructor", "level_iii"}), NOW)
    assert session.get_one(Person, people.ian).roles == {"instructor", "level_iii"}


def test_roles_out_of_reach_stay(session: Session) -> None:
    """An instructor who changes roles leaves alone what only an employer may change."""
    people = make_people(session)
    accounts.set_roles(session, people.emma, people.tess, frozenset({"trainee", "examiner"}), NOW)
    accounts.set_roles(session, people.ian, people.tess, frozenset({"trainee", "instructor"}), NOW)
    assert session.get_one(Person, people.tess).roles == {"trainee", "instructor", "examiner"}


def test_nobody_locks_themself_out(session: Session) -> None:
    """One's own role is not taken away by oneself, and nobody is left without any."""
    people = make_people(session)
    with pytest.raises(Refused, match="your own role"):
        accounts.set_roles(session, people.ian, people.ian, frozenset({"trainee"}), NOW)
    with pytest.raises(Refused, match="one role or more"):
        accounts.set_roles(session, people.ian, people.tess, frozenset(), NOW)
    with pytest.raises(Refused, match="yourself"):
        accounts.set_left(session, people.ian, people.ian, True, NOW)


@pytest.mark.parametrize("who", ["ian", "emma"])
@pytest.mark.parametrize(
    "ask",
    [
        accounts.colleague,
        lambda session, by, person: accounts.set_roles(session, by, person, frozenset({"trainee"}), NOW),
        lambda session, by, person: accounts.set_left(session, by, person, True, NOW),
        lambda session, by, person: joining.join_code(session, by, person, NOW, 14),
        lambda session, by, person: accounts.end_sign_ins(session, by, person, NOW),
    ],
    ids=["see", "roles", "gone", "code", "sign-ins"],
)
def test_people_of_another_house_are_not_found(
    session: Session, who: str, ask: Callable[[Session, int, int], object]
) -> None:
    """Omar is nobody to Ian and Emma, whatever they ask."""
    people = make_people(session)
    asker = getattr(people, who)
    assert "HK-03" not in [person.works_number for person in accounts.people_of(session, asker)]
    with pytest.raises(NotFound):
        ask(session, asker, people.omar)


def test_a_join_code_works_once(session: Session) -> None:
    """A code lets in its person, once, however it is typed."""
    people = make_people(session)
    code = joining.join_code(session, people.ian, people.tess, NOW, 14)
    kept = passphrases.hashed(PASSPHRASE)
    assert joining.join(session, f" {code[:4].lower()}-{code[4:]} ", kept, NOW) == people.tess
    assert sign_in.check(session, "tv-07", PASSPHRASE) == people.tess
    with pytest.raises(Refused, match="new join slip"):
        joining.join(session, code, kept, NOW)


def test_codes_end(session: Session) -> None:
    """A code ends by time, by a newer code, when its person leaves, and when the clock that it was made by ran ahead."""
    people = make_people(session)
    first = joining.join_code(session, people.ian, people.tess, NOW, 14)
    second = joining.join_code(session, people.ian, people.tess, NOW, 14)
    late, back = NOW + timedelta(days=14), NOW - timedelta(days=2)
    for code, now in ((first, NOW), (second, late), (second, back), ("", NOW), ("2" * 8, NOW)):
        with pytest.raises(Refused, match="new join slip"):
            joining.join(session, code, "hash", now)
    accounts.set_left(session, people.ian, people.tess, True, NOW)
    with pytest.raises(Refused, match="new join slip"):
        joining.join(session, second, "hash", NOW)


def test_codes_and_tokens_are_not_kept(session: Session) -> None:
    """Neither a code nor a token stands in the store: only their hashes do."""
    people = make_people(session)
    code = joining.join_code(session, people.ian, people.tess, NOW, 14)
    token = make_token(session, people.tess)
    session.flush()
    assert session.scalars(select(JoinCode.code_hash)).all() == [sign_in.token_hash(code)]
    assert session.scalars(select(SignInSession.token_hash)).all() == [sign_in.token_hash(token)]
    assert code not in sign_in.token_hash(code)


def test_an_instructor_makes_no_way_into_a_colleagues_account(session: Session) -> None:
    """For an employer, or an instructor who has joined, only an employer makes a code."""
    people = make_people(session)
    joined = make_person(session, "TV-01", "Somebody", {"instructor"})
    joining.join_code(session, people.ian, joined.id, NOW, 14)
    joined.passphrase_hash = "hash"
    for other in (joined.id, people.emma):
        with pytest.raises(NotAllowed, match="Only an employer"):
            joining.join_code(session, people.ian, other, NOW, 14)
    assert joining.join_code(session, people.emma, joined.id, NOW, 14)


def test_joining_again_ends_old_sign_ins(session: Session) -> None:
    """After a lost passphrase the old browsers are out."""
    people = make_people(session)
    token = make_token(session, people.tess)
    code = joining.join_code(session, people.ian, people.tess, NOW, 14)
    joining.join(session, code, "hash", NOW)
    assert sign_in.who(session, token, NOW) is None


def test_the_first_account_is_made_once(session: Session) -> None:
    """The newest link makes one account; then there is no link and the old ones are spent."""
    old, token = joining.first_code(session, NOW), joining.first_code(session, NOW)
    assert old
    assert token
    roles = frozenset({"instructor", "employer"})
    with pytest.raises(NotFound):
        joining.first_account(session, old, HOUSE, "TV-00", "Ian", roles, "hash", NOW)
    made = joining.first_account(session, token, HOUSE, "TV-00", "Ian", roles, "hash", NOW)
    assert (made.roles, made.organisation.name) == (roles, HOUSE)
    assert joining.first_code(session, NOW) is None
    with pytest.raises(NotFound):
        joining.first_account(session, token, HOUSE, "TV-01", "Somebody", roles, "hash", NOW)


@pytest.mark.parametrize(
    "roles", [frozenset(), frozenset({"trainee"}), frozenset({"instructor", "level_iii"})]
)
def test_the_first_account_teaches_or_employs(session: Session, roles: frozenset[str]) -> None:
    """The first account is an instructor's or employer's, and grants itself no function."""
    token = joining.first_code(session, NOW) or ""
    with pytest.raises(Refused, match="Tick"):
        joining.first_account(session, token, HOUSE, "TV-00", "Ian", roles, "hash", NOW)


def test_who_is_asking(session: Session) -> None:
    """A token tells who is asking until it is ended, has run out, or the person leaves."""
    people = make_people(session)
    token = make_token(session, people.tess)
    me = sign_in.who(session, token, NOW)
    assert me
    assert (me.id, me.name, me.organisation, me.role) == (people.tess, "Tess", HOUSE, "trainee")
    assert sign_in.who(session, token, NOW + timedelta(hours=12)) is None
    assert sign_in.who(session, token + "x", NOW) is None
    assert sign_in.who(session, "\ud800", NOW) is None
    accounts.set_left(session, people.ian, people.tess, True, NOW)
    assert sign_in.who(session, token, NOW) is None


def test_sign_ins_are_ended_by_their_person(session: Session) -> None:
    """One sign-in, or all others, can be ended; somebody else's is not found."""
    people = make_people(session)
    tokens = [make_token(session, people.tess) for _ in range(3)]
    held = sign_in.open_sessions(session, people.tess, NOW)
    with pytest.raises(NotFound):
        sign_in.end(session, people.omar, held[0].id, NOW)
    me = sign_in.who(session, tokens[0], NOW)
    assert me
    assert sign_in.end_others(session, people.tess, NOW, keep=me.session_id) == 2
    assert [sign_in.who(session, token, NOW) is not None for token in tokens] == [True, False, False]
    sign_in.end(session, people.tess, me.session_id, NOW)
    assert sign_in.who(session, tokens[0], NOW) is None


@pytest.mark.parametrize(
    ("passphrase", "says"),
    [
        ("short", "5 characters; it needs 12"),
        ("axle" + " " * 9 + "draw", "9 characters; it needs 12"),
        ("x" * 257, "more than 256"),
        ("aaaaaaaaaaaaaaaa", "easily guessed"),
        ("TV-07 tv-07 TV-07 2026", "easily guessed"),
        ("123456789012", "easily guessed"),
        ("Password 2026!", "easily guessed"),
        ("qwertyuiop-tv-07", "easily guessed"),
    ],
)
def test_weak_passphrases_are_refused(passphrase: str, says: str) -> None:
    """A passphrase that is short, endless, or made of the works number is refused."""
    with pytest.raises(Refused, match=says):
        passphrases.hashed(passphrase, "TV-07")


@pytest.mark.parametrize(
    "passphrase", ["axle draw hook " * 17, "磁粉探傷 ねこ 🧲🧲🧲🧲🧲", "O'Hara <b>&amp;</b> \\ñ"]
)
def test_any_character_and_length_is_taken(passphrase: str) -> None:
    """Long ones are not cut off, and no kind of character is asked for or refused."""
    kept = passphrases.hashed(passphrase, "TV-07")
    assert passphrases.matches(kept, passphrase)
    assert not passphrases.matches(kept, passphrase[:-1])


def test_one_sentence_for_every_wrong_sign_in(session: Session) -> None:
    """Unknown number, wrong passphrase, no passphrase yet, and gone: all are told the same."""
    people = make_people(session)
    gone = make_person(session, "TV-08", "Gone")
    gone.passphrase_hash, gone.left_at = passphrases.hashed(PASSPHRASE), NOW
    session.get_one(Person, people.tess).passphrase_hash = gone.passphrase_hash
    tries = [
        ("TV-99", PASSPHRASE),
        ("TV-07", "wrong wrong wrong"),
        ("TV-00", PASSPHRASE),
        ("TV-08", PASSPHRASE),
    ]
    for number, passphrase in [*tries, ("<>", PASSPHRASE), ("TV-07", "x" * 10_000)]:
        with pytest.raises(Refused, match="do not belong together"):
            sign_in.check(session, number, passphrase)


@pytest.mark.parametrize("number", ["TV-07", "TV-99"])
def test_what_stands_in_for_a_missing_passphrase_lets_nobody_in(
    session: Session, monkeypatch: pytest.MonkeyPatch, number: str
) -> None:
    """Who has not joined yet, or is not there, is checked against a hash whose passphrase opens nothing."""
    make_people(session)
    kept = passphrases.hashed(PASSPHRASE)
    monkeypatch.setattr(passphrases, "_nobodys", lambda: kept)
    with pytest.raises(Refused, match="do not belong together"):
        sign_in.check(session, number, PASSPHRASE)


def test_unknown_numbers_take_as_long(session: Session, monkeypatch: pytest.MonkeyPatch) -> None:
    """An unknown number costs the same one check of a hash of the same cost, so time tells nothing; length costs nothing."""
    people = make_people(session)
    session.get_one(Person, people.tess).passphrase_hash = passphrases.hashed(PASSPHRASE)
    checked: list[str] = []

    def verify(_self: PasswordHasher, kept: str, passphrase: str) -> bool:
        assert len(passphrase) <= passphrases.MOST + 1
        checked.append(kept)
        raise VerifyMismatchError

    monkeypatch.setattr(PasswordHasher, "verify", verify)
    for number in ("TV-07", "TV-99", "TV-00", "not a number!"):
        with pytest.raises(Refused):
            sign_in.check(session, number, "wrong " * 1000)
    costs = {tuple(kept.split("$")[1:4]) for kept in checked}
    assert (len(checked), costs) == (4, {("argon2id", "v=19", "m=19456,t=2,p=1")})
