"""The house's own conventions, to be named wherever a standing is shown.

None of them stands in a document that was read; each is this project's reading, so that all its pages,
commands and records count alike.
"""

from __future__ import annotations

from trainer.languages import N_

CONVENTIONS: tuple[tuple[str, str], ...] = (
    (
        "V1",
        N_(
            "A yearly vision check is good through the same day of the next year; 29 February "
            "becomes 28 February."
        ),
    ),
    ("V2", N_("A certificate for N years has its last valid day N years after the start, less a day.")),
    ("V3", N_("The day of a failed examination is day 0; an unaided retest is possible from day 30.")),
    (
        "V4",
        N_("A clock interval counts once; for one method only if the supervisor split it between methods."),
    ),
    ("V5", N_("Nothing is rounded: 79.95 is below 80.")),
    ("V6", N_("What is valid for N years can be used through the same day N years later.")),
    ("V7", N_("Adding months or years ends on the last day of a shorter month.")),
    ("V8", N_("One month of experience is 160 hours, four weeks of 40 hours.")),
    (
        "V9",
        N_(
            "An absence ends on the day asked at the latest; short holidays, sickness and courses "
            "are left out."
        ),
    ),
    (
        "",
        N_(
            "A day of training or experience is an exact fraction of its hours, where a scheme "
            "counts in days."
        ),
    ),
    (
        "",
        N_(
            "A retest that comes too early changes nothing; a low composite is followed by a "
            "retest like a failed part."
        ),
    ),
    (
        "",
        N_(
            "Who may countersign which entry, and that this is never the person concerned, is "
            "settled by this house."
        ),
    ),
)
