"""Read the facts about a person: vision, certificates, employment, absence, education, applications."""

from __future__ import annotations

from trainer.languages import _
from trainer.qualification.entries import (
    Absence,
    Application,
    Certificate,
    Decision,
    Education,
    Employment,
    Reversal,
    Vision,
)
from trainer.qualification.reading.fields import Fields, quoted
from trainer.qualification.reading.heading import Heading, Known

CHARTS = ("jaeger_1", "jaeger_2", "n4.5", "iso_18490", "other")


def read_vision(fields: Fields, heading: Heading, known: Known) -> Vision:
    test = fields.choice("test", ("near", "colour"))
    if test == "colour":
        for name in ("chart", "distance_cm"):
            if fields.has(name):
                raise fields.amiss(
                    name,
                    _("%(name)s belongs to a near-vision check; take it out of a colour check", name=name),
                )
    return Vision(
        **heading,
        test=test,
        result=fields.choice(
            "result", ("pass", "fail") if test == "near" else ("pass", "fail", "restricted")
        ),
        chart=fields.choice("chart", CHARTS) if test == "near" else None,
        distance_cm=fields.decimal("distance_cm") if fields.has("distance_cm") else None,
        restriction=fields.text("restriction") if fields.has("restriction") else None,
    )


def read_certificate(fields: Fields, heading: Heading, known: Known) -> Certificate:
    until = fields.day("until") if fields.has("until") else None
    if until is not None and until < heading["first"]:
        raise fields.amiss(
            "until",
            _(
                "until %(until)s lies before the day granted, %(first)s; mend one",
                until=until,
                first=heading["first"],
            ),
        )
    return Certificate(
        **heading,
        method=fields.method("method"),
        level=fields.level("level"),
        scheme=known.scheme(fields, "scheme"),
        until=until,
    )


def read_employment(fields: Fields, heading: Heading, known: Known) -> Employment:
    return Employment(
        **heading,
        event=fields.choice("event", ("began", "ended", "rehired")),
        employer=fields.text("employer"),
        records_kept=fields.flag("records_kept"),
    )


def read_absence(fields: Fields, heading: Heading, known: Known) -> Absence:
    return Absence(**heading, reason=fields.choice("reason", ("holiday", "sickness", "course", "other")))


def read_education(fields: Fields, heading: Heading, known: Known) -> Education:
    return Education(
        **heading,
        field_of_study=fields.choice("field", ("engineering", "science", "other")),
        completed_years=fields.whole("completed_years"),
    )


def read_application(fields: Fields, heading: Heading, known: Known) -> Application:
    return Application(
        **heading,
        scheme=known.scheme(fields, "scheme"),
        level=fields.level("level"),
        methods=fields.methods("methods", 1),
    )


def read_decision(fields: Fields, heading: Heading, known: Known) -> Decision:
    return Decision(**heading, what=fields.text("what"), about=fields.names("about"))


def read_reversal(fields: Fields, heading: Heading, known: Known) -> Reversal:
    target = known.earlier(fields, "reverses")
    if target.kind == "reversal":
        raise fields.amiss(
            "reverses", _("%(id)s is itself a reversal; enter the right fact anew", id=quoted(target.id))
        )
    return Reversal(**heading, reverses=target.id, reason=fields.text("reason"))
