"""What somebody who signs records types: a passphrase for a key of their own, the name of one kept elsewhere."""

from __future__ import annotations

from trainer.languages import N_
from trainer.web.asking.forms import Form, Secret, Text
from trainer.web.asking.passphrases import NewPassphrase


class NewKey(NewPassphrase):
    """The passphrase of a new key, typed twice."""

    passphrase = Secret(N_("Passphrase of your key"), N_("Write a passphrase."))
    again = Secret(N_("The same again"), N_("Write the passphrase a second time."))


class ChangeKey(NewKey):
    """The passphrase of the present key, and that of the next one twice."""

    old = Secret(N_("Passphrase of the present key"), N_("Write the passphrase of the present key."))


class NamedKey(Form):
    """The public name of a key that is kept elsewhere."""

    did = Text(N_("Key"), N_("Write the public name of your key."), 200)


class SignForm(Form):
    """The passphrase with which a record is signed."""

    passphrase = Secret(N_("Passphrase of your key"))
