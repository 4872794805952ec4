"""The row of a retest: whether its day was right, and why it counts or does not."""

from __future__ import annotations

from fractions import Fraction

from trainer.languages import N_, _
from trainer.qualification.rows import Case, Row, Verdict, number_row
from trainer.qualification.sittings import Retest

PART_WORDS = {
    "general": N_("general part"),
    "specific": N_("specific part"),
    "practical": N_("practical part"),
}


def retest_row(identity: str, retest: Retest, case: Case, key: str) -> Row:
    """Judge the wait before a retest; ``key`` names the figure that sets it."""
    rules = case.rules_on(retest.sitting.first)
    figure, stem = rules.figure(key), key.partition(".")[0]
    have = (retest.sitting.first - retest.day_0).days
    need = 0 if retest.waived_by else (retest.earliest - retest.day_0).days
    further = {"earliest": retest.earliest}
    if retest.latest is not None:
        further["latest"] = retest.latest
    row = number_row(
        identity,
        Fraction(have),
        Fraction(need),
        "days",
        figure,
        what=_(
            "retest of the %(part)s on %(day)s (%(id)s), waited from %(day_0)s",
            part=_(PART_WORDS[retest.sitting.part]),
            day=retest.sitting.first,
            id=retest.sitting.id,
            day_0=retest.day_0,
        ),
        notes=[how_it_counts(retest)],
        entries=[retest.sitting.id, *([retest.waived_by] if retest.waived_by else [])],
        beside=[rules.figures.get(f"{stem}.{limit}") for limit in ("most", "years", "waiver")],
    )
    verdict = Verdict.MET if retest.counts else Verdict.NOT_MET
    missing = "" if retest.counts else _again(retest)
    return Row(
        identity,
        verdict,
        row.clause,
        f"{row.says} {missing}".strip(),
        row.have,
        row.need,
        row.unit,
        missing=missing,
        entries=row.entries,
        unconfirmed=row.unconfirmed,
        further=dict(further),
    )


def _again(retest: Retest) -> str:
    if retest.too_many or retest.too_late:
        return _("No retest of this series is left: the certification body says how to begin anew.")
    return _("Shortest way: sit it again from %(earliest)s on.", earliest=retest.earliest)


def how_it_counts(retest: Retest) -> str:
    """Say why a retest counts, or why it does not."""
    if retest.too_many:
        return _("the two retests of this series are used up")
    if retest.too_late:
        return _("it came after %(latest)s, the last day of this series", latest=retest.latest)
    if retest.too_early:
        return _("it came too early: the earliest day was %(earliest)s", earliest=retest.earliest)
    if retest.waived_by:
        return _(
            "the wait was waived by the Level III's training in %(waived_by)s", waived_by=retest.waived_by
        )
    return _("it counts")
