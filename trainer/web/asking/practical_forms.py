"""Forms of practical examinations: one to begin, one to enter a specimen."""

from __future__ import annotations

from wtforms import StringField, TextAreaField
from wtforms.validators import InputRequired, Length

from trainer.languages import N_
from trainer.web.asking import forms


class HoldForm(forms.Form):
    """Who is examined, by which checklist, on which specimen, with whom, and the pass mark."""

    person = StringField(N_("Candidate"), [InputRequired(N_("Choose the candidate.")), Length(max=10)])
    checklist = StringField(N_("Checklist"), [InputRequired(N_("Choose the checklist.")), Length(max=80)])
    specimen = StringField(N_("Specimen"), [InputRequired(N_("Choose the specimen.")), Length(max=10)])
    second = StringField(N_("Second examiner"), [Length(max=10)])
    pass_mark = forms.Text(N_("Pass mark, percent"), N_("Write the pass mark."), 4, default="80")

    @property
    def second_id(self) -> int | None:
        """The second examiner, or None."""
        return forms.number(self.second.data) if self.second.data else None


class SpecimenForm(forms.Form):
    """A specimen: its code, what the candidate may be told of it, and its map."""

    code = forms.Text(N_("Code"), N_("Write the code that stands on the piece, such as P4."), 20)
    title = forms.Text(N_("What it is"), N_("Write what it is, such as butt weld, 300 mm."), 80)
    drawn = TextAreaField(
        N_("Private map"),
        [InputRequired(N_("Write one line for each known discontinuity.")), Length(max=4000)],
    )
