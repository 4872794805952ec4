"""What is written of a panel: whose paper, its items, the judges' estimates."""

from __future__ import annotations

from wtforms import StringField
from wtforms.validators import Length

from trainer.statistics.panel import MOST_TEXT
from trainer.web.forms import Form, Text


class SheetForm(Form):
    """One more sheet of a panel that is kept."""

    # An empty or a long sheet gets the sentence of the reader, which looks at its beginning only.
    ratings = StringField("Ratings in percent", default="")
    says = StringField("Note", [Length(max=300, message="Write at most 300 characters.")], default="")
    which = StringField("This sheet is", default="")


class PanelForm(SheetForm):
    """A panel with its first sheet."""

    title = Text("Title", "Write a title to keep it under, such as the paper and the day.", 80)
    plan = StringField("About", [Length(max=80)], default="")
    names = StringField("Items", [Length(max=MOST_TEXT)], default="")
