"""Read one sitting of an examination: a written part in questions, a practical part in marks."""

from __future__ import annotations

from fractions import Fraction
from typing import TypedDict

from trainer.languages import _
from trainer.qualification.entries import PARTS, Examination, Marks
from trainer.qualification.reading.fields import Fields
from trainer.qualification.reading.heading import Heading, Known
from trainer.qualification.reading.notation import Listing, Node

WRITTEN = ("right", "of", "percent")
PRACTICAL = ("specimens", "instruction")
MOST_SPECIMENS = 100
LEEWAY = Fraction(5, 100)


def read_examination(fields: Fields, heading: Heading, known: Known) -> Examination:
    """Read one sitting; which fields belong to it depends on its part."""
    part = fields.choice("part", PARTS)
    for name in WRITTEN if part == "practical" else PRACTICAL:
        if fields.has(name):
            right = "specimens" if part == "practical" else _("right and of")
            raise fields.amiss(
                name,
                _(
                    "%(name)s does not belong to a %(part)s part; write %(right)s",
                    name=name,
                    part=part,
                    right=right,
                ),
            )
    paper = _practical(fields) if part == "practical" else _written(fields)
    return Examination(
        **heading,
        part=part,
        method=fields.method("method"),
        level=fields.level("level"),
        purpose=fields.choice("purpose", ("initial", "recertification"), "initial"),
        scheme=known.scheme(fields, "scheme") if fields.has("scheme") else None,
        **paper,
    )


class Paper(TypedDict, total=False):
    """The result of a written part or of a practical part."""

    right: Fraction
    of: int
    percent: Fraction | None
    specimens: tuple[Marks, ...]
    instruction: Marks | None


def _written(fields: Fields) -> Paper:
    right, of = fields.decimal("right"), fields.whole("of", least=1)
    if right > of:
        raise fields.amiss(
            "right", _("more right than there are questions (%(of)s); mend right or of", of=of)
        )
    return Paper(right=right, of=of, percent=_percent(fields, right, Fraction(of)))


def _practical(fields: Fields) -> Paper:
    node = fields.get("specimens")
    if not isinstance(node, Listing) or not 0 < len(node.nodes) <= MOST_SPECIMENS:
        raise fields.amiss(
            "specimens",
            _("specimens must be a list of 1 to %(most)s mappings with marks and of", most=MOST_SPECIMENS),
        )
    specimens = tuple(_marks(item, _("a specimen"), ("specimen", "checkpoints")) for item in node.nodes)
    instruction = (
        _marks(fields.get("instruction"), _("the instruction"), ()) if fields.has("instruction") else None
    )
    return Paper(specimens=specimens, instruction=instruction)


def _marks(node: Node, what: str, also: tuple[str, ...]) -> Marks:
    fields = Fields(node, what)
    fields.only(("marks", "of", "percent", *also))
    marks, of = fields.decimal("marks"), fields.decimal("of")
    if of == 0:
        raise fields.amiss("of", _("of is 0; write the marks that could be reached"))
    if marks > of:
        raise fields.amiss("marks", _("marks lie above of; mend one of the two"))
    return Marks(
        marks,
        of,
        checkpoints=fields.whole("checkpoints") if fields.has("checkpoints") else 0,
        specimen=fields.text("specimen") if fields.has("specimen") else "",
        percent=_percent(fields, marks, of),
    )


def _percent(fields: Fields, marks: Fraction, of: Fraction) -> Fraction | None:
    if not fields.has("percent"):
        return None
    percent, exact = fields.decimal("percent"), 100 * marks / of
    if abs(percent - exact) > LEEWAY:
        raise fields.amiss(
            "percent",
            _(
                "percent does not agree with %(exact)s from the marks; mend or leave out",
                exact=format(float(exact), ".2f"),
            ),
        )
    return percent
