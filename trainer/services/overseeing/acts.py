"""What the notes of the chain are called on a page: the chain keeps English, a reader reads their own language."""

from __future__ import annotations

from trainer.languages import N_, _

# fmt: off
ACTS = frozenset({
    N_("appeal written down"), N_("attendance confirmed"), N_("attendance noted"), N_("calendar exported"),
    N_("class asked"), N_("class closed"), N_("class made"), N_("class member removed"),
    N_("class members added"), N_("class opened"), N_("class question ended"), N_("class question shown"),
    N_("clock set back"),
    N_("draft approved"), N_("draft put forward"), N_("draft sent back"), N_("draft withdrawn"),
    N_("draft written"), N_("entry countersigned"), N_("entry entered"), N_("entry reversed"),
    N_("erasure asked"), N_("erasure called off"), N_("evidence attached"), N_("examination closed"),
    N_("examination goes on"), N_("examination opened"), N_("examination paused"),
    N_("examination planned"), N_("examination sealed"), N_("examination unlocked"),
    N_("examination unsealed"), N_("examination void"), N_("extra time"), N_("first step shown"),
    N_("formula shown"), N_("identity confirmed"), N_("incident written down"), N_("issuer introduced"),
    N_("issuer limited"), N_("issuer pinned"), N_("issuer unpinned"), N_("item marked again"),
    N_("job step answered"), N_("join code made"), N_("joined"), N_("lesson begun"), N_("marks taken"),
    N_("marks typed"), N_("meeting entered"), N_("meeting taken away"), N_("own items laid open"),
    N_("own items sealed"), N_("own items sealed anew"), N_("own items unlocked"), N_("pack added"),
    N_("pack changed"), N_("pack retired"), N_("panel made"), N_("panel sheet kept"), N_("paper handed in"), N_("paper handed in at its deadline"),
    N_("paper started"), N_("paper void"), N_("papers printed"), N_("passphrase changed"),
    N_("people entered"), N_("person back"), N_("person entered"), N_("person erased"), N_("person left"),
    N_("personal key given up"), N_("personal key kept"), N_("personal key sealed anew"),
    N_("practical begun"), N_("practical closed"), N_("practical marked"), N_("practical void"),
    N_("practice answered"), N_("practice approved"), N_("practice drafted"), N_("practice refused"),
    N_("question answered"), N_("record exported"), N_("record given back"), N_("record revoked"), N_("record signed"),
    N_("record suspended"), N_("roles changed"), N_("set given"), N_("set made"), N_("set put away"),
    N_("set taken back"), N_("set taken up"), N_("sheet printed"), N_("sign-ins ended"), N_("signed in"),
    N_("signed out"), N_("signing key changed"), N_("specimen entered"), N_("specimen retired"),
    N_("topic given away"), N_("working hidden"), N_("working shown"),
})
"""Everything that a note may say was done; a test holds the code against it."""
FACTS = frozenset({
    N_("addresses and reasons in notes"), N_("before"), N_("count"), N_("credential"), N_("digest"),
    N_("drills"), N_("edition"), N_("entries"), N_("entry"), N_("evidence files"), N_("first"), N_("form"),
    N_("given"), N_("hours"), N_("introduced_by"), N_("item"), N_("join_code"), N_("judges"),
    N_("kind"), N_("last"), N_("minutes"), N_("name"), N_("names in other texts"), N_("number"), N_("paper"), N_("papers"),
    N_("people"), N_("person"), N_("printed"), N_("reason"), N_("reversal"), N_("revision"), N_("role"), N_("roles"),
    N_("round"), N_("says"), N_("sha256"), N_("taken"), N_("turn"), N_("until"), N_("verdict"), N_("was"),
})
"""The names of the facts that a note may hold."""
# fmt: on


def act_words(what: str) -> str:
    """What was done, for the reader; what an earlier edition of the program called otherwise stays as it is."""
    return _(what) if what in ACTS else what


def fact_words(name: str) -> str:
    """The name of a fact, for the reader."""
    return _(name) if name in FACTS else name
