"""What the invigilator and the second person write while an examination is held, and after it."""

from __future__ import annotations

from wtforms import StringField

from trainer.languages import N_
from trainer.web.asking.forms import AtMost, Form, Secret, Text
from trainer.web.asking.passphrases import KeptPassphrase, NewPassphrase


class ExtraTime(Form):
    """Minutes more for one candidate, and why."""

    minutes = Text(N_("Minutes more"), N_("Write the minutes."), 4)
    reason = Text(N_("Reason"), N_("Write the reason: it is kept with the paper."), 100)


class SealForm(NewPassphrase):
    """The passphrase that an examination is sealed with, typed twice."""

    passphrase = Secret(N_("Passphrase"), N_("Write a passphrase, or open it without one below."))
    again = Secret(N_("The same again"), N_("Write the passphrase a second time."))


class OwnSealForm(NewPassphrase):
    """The passphrase that own items for examinations are sealed with, typed twice."""

    passphrase = Secret(N_("Passphrase"), N_("Write a passphrase."))
    again = Secret(N_("The same again"), N_("Write the passphrase a second time."))


class UnlockForm(KeptPassphrase):
    """The passphrase of a sealed examination, after the program was started anew."""

    passphrase = Secret(N_("Passphrase of this examination"))


class OwnUnlockForm(KeptPassphrase):
    """The passphrase of sealed own items, after the program was started anew."""

    passphrase = Secret(N_("Passphrase of the own items"))


class IncidentForm(Form):
    """What happened at an examination, and whose paper it is about."""

    says = Text(N_("What happened"), N_("Write what happened."), 300)
    paper = StringField(N_("About"), [AtMost(max=10)])


class AppealForm(Form):
    """A candidate's appeal against the verdict of one item."""

    item = Text(N_("Item"), N_("Write the number of the item."), 3)
    says = Text(N_("What the candidate holds against the verdict"), N_("Write the candidate's grounds."), 300)


class RemarkForm(Form):
    """The second person's verdict of an appealed item, and why."""

    verdict = StringField(N_("The answer is"))
    reason = Text(N_("Reason"), N_("Write the reason: it is kept with the appeal."), 300)
