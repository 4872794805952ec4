"""What the invigilator and the second person write while an examination is held, and after it."""

from __future__ import annotations

from wtforms import StringField
from wtforms.validators import Length

from trainer.web.forms import Form, Secret, Text


class ExtraTime(Form):
    """Minutes more for one candidate, and why."""

    minutes = Text("Minutes more", "Write the minutes.", 4)
    reason = Text("Reason", "Write the reason: it is kept with the paper.", 100)


class SealForm(Form):
    """The passphrase that an examination is sealed with, typed twice."""

    passphrase = Secret("Passphrase", "Write a passphrase, or open it without one below.")
    again = Secret("The same again", "Write the passphrase a second time.")


class UnlockForm(Form):
    """The passphrase of a sealed examination, after the program was started anew."""

    passphrase = Secret("Passphrase of this examination")


class IncidentForm(Form):
    """What happened at an examination, and whose paper it is about."""

    says = Text("What happened", "Write what happened.", 300)
    paper = StringField("About", [Length(max=10)])


class AppealForm(Form):
    """A candidate's appeal against the verdict of one item."""

    item = Text("Item", "Write the number of the item.", 3)
    says = Text("What the candidate holds against the verdict", "Write the candidate's grounds.", 300)


class RemarkForm(Form):
    """The second person's verdict of an appealed item, and why."""

    verdict = StringField("The answer is")
    reason = Text("Reason", "Write the reason: it is kept with the appeal.", 300)
