"""Forms that ask for a passphrase which shuts something on the disk: a new one, typed twice, or the one it has."""

from __future__ import annotations

from trainer.languages import N_
from trainer.services.keeping import passphrase_keys
from trainer.services.keeping.passphrase_keys import Fresh
from trainer.store.models import OwnSeal, Seal
from trainer.web.asking.forms import Form, Secret


class NewPassphrase(Form):
    """A new passphrase; the form that asks says what it is for."""

    passphrase: Secret
    again: Secret

    def fresh(self) -> Fresh | None:
        """A new key under it; None where the form says what is wrong. Takes its time: call it outside of a transaction."""
        new: Fresh | None = None
        if self.validate():
            with self.taking("passphrase"):
                new = passphrase_keys.fresh(self.passphrase.data, self.again.data)
        return new


class AnotherPassphrase(NewPassphrase):
    """The passphrase until now, and another one in its place, typed twice."""

    old = Secret(N_("Passphrase until now"), N_("Write the passphrase until now."))
    passphrase = Secret(N_("New passphrase"), N_("Write a passphrase."))
    again = Secret(N_("The same again"), N_("Write the passphrase a second time."))


class KeptPassphrase(Form):
    """The passphrase that something was shut with."""

    passphrase: Secret

    def key(self, kept: Seal | OwnSeal) -> bytes | None:
        """The key behind a seal; None where the form says what is wrong. Takes its time, like ``fresh``."""
        key: bytes | None = None
        if self.validate():
            with self.taking("passphrase"):
                key = passphrase_keys.key_behind(kept, self.passphrase.data)
        return key
