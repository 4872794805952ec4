"""Keep and check passphrases: argon2id, two at a time, the same time for names that do not exist.

Parameters 2 passes, 19 MiB, 1 lane: about 30 ms each. Thirty people signing in at once wait for each
other a moment instead of filling the memory of a classroom's laptop.
"""

from __future__ import annotations

import threading
from functools import cache
from typing import TYPE_CHECKING

from trainer.errors import Refused
from trainer.languages import _

if TYPE_CHECKING:
    from argon2 import PasswordHasher

LEAST = 12
MOST = 256
LEAST_DIFFERENT = 5
# What leads the lists of stolen passphrases, in the languages of the pages (from memory, unconfirmed); longer first.
COMMON = (
    "ADMINISTRATOR", "CONTRASEÑA", "CONTRASENA", "PASSPHRASE", "QWERTYUIOP", "ASDFGHJKL", "BIENVENIDO", "CHANGEME",
    "ILOVEYOU", "PASSWORD", "PASSWORT", "SUNSHINE", "FOOTBALL", "TRUSTNO1", "TEAMO", "LETMEIN", "TRAINER", "WELCOME",
    "ABCDEF", "ASDFGH", "DRAGON", "MASTER", "MONKEY", "QWERTY", "QWERTZ", "SECRET", "ZXCVBN", "ADMIN", "LOGIN", "ABC",
)  # fmt: skip
_turns = threading.BoundedSemaphore(2)


def hashed(passphrase: str, works_number: str = "") -> str:
    """The hash to keep. Call it before a writing transaction opens: it takes its time.

    Raises Refused for a passphrase that is too short, too long or too easily guessed.
    """
    count = len(" ".join(passphrase.split()))  # a run of spaces is as good as one
    if count < LEAST:
        raise Refused(
            _(
                "The passphrase has %(count)s characters; it needs %(least)s or more.",
                count=count,
                least=LEAST,
            )
        )
    if len(passphrase) > MOST:
        raise Refused(_("The passphrase has more than %(most)s characters; shorten it.", most=MOST))
    if len(set(passphrase)) < LEAST_DIFFERENT or _is_easy(passphrase, works_number):
        raise Refused(_("This passphrase is easily guessed. Four words that you can remember are good."))
    with _turns:
        return _hasher().hash(passphrase)


def matches(kept: str | None, passphrase: str) -> bool:
    """Whether this is the passphrase whose hash was kept. None is checked as long as any other."""
    from argon2.exceptions import InvalidHashError, VerificationError

    with _turns:
        try:
            right = _hasher().verify(kept or _nobodys(), passphrase[: MOST + 1])
        except (VerificationError, InvalidHashError):
            return False
    return right and kept is not None


def _is_easy(passphrase: str, works_number: str) -> bool:
    """Whether it is made of nothing but the works number, words that everybody tries first, digits and signs."""
    left = _plain(passphrase)
    for word in (_plain(works_number), *COMMON):
        left = left.replace(word, " ") if word else left
    return not any(sign.isalpha() for sign in left)


def _plain(text: str) -> str:
    return "".join(text.upper().split())


@cache
def _hasher() -> PasswordHasher:
    from argon2 import PasswordHasher

    return PasswordHasher(time_cost=2, memory_cost=19 * 1024, parallelism=1)


@cache
def _nobodys() -> str:
    return _hasher().hash("nobody has this passphrase")
