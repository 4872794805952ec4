"""What is written of a panel: whose paper, its items, the judges' estimates."""

from __future__ import annotations

from wtforms import StringField

from trainer.languages import N_
from trainer.statistics.panel import MOST_TEXT
from trainer.web.asking.forms import AtMost, Form, Text


class SheetForm(Form):
    """One more sheet of a panel that is kept."""

    # An empty or a long sheet gets the sentence of the reader, which looks at its beginning only.
    ratings = StringField(N_("Ratings in percent"), default="")
    says = StringField(N_("Note"), [AtMost(max=300)], default="")
    which = StringField(N_("This sheet is"), default="")


class PanelForm(SheetForm):
    """A panel with its first sheet."""

    title = Text(N_("Title"), N_("Write a title to keep it under, such as the paper and the day."), 80)
    plan = StringField(N_("About"), [AtMost(max=80)], default="")
    names = StringField(N_("Items"), [AtMost(max=MOST_TEXT)], default="")
