"""What each figure of a scheme is called, for people: its key is for files."""

from __future__ import annotations

from trainer.languages import N_, _

_LEVELS = {"I": N_("Level I"), "II": N_("Level II"), "direct": N_("direct to Level II")}
WORDS = {
    "training": N_("Training"),
    "training_educated": N_("Training with an education"),
    "training.practical_most": N_("Training, most of it that may be practical"),
    "training.electronic": N_("Training by computer and web"),
    "education.reduction_most": N_("Education, most that it may take off the training"),
    "education.reduction_percent": N_("Less training for an education"),
    "experience_method": N_("Experience in the method"),
    "experience_total": N_("Experience in all methods"),
    "experience.month_hours": N_("Experience, hours of a month"),
    "experience.day_hours": N_("Experience, hours of a day"),
    "experience.day_most_hours": N_("Experience, most hours of a day"),
    "laboratory.percent": N_("Share of laboratory time that counts as experience"),
    "two_methods.percent": N_("Two methods at once, share of the experience"),
    "two_methods.least_percent": N_("Two methods at once, smallest share of each"),
    "two_methods.least_months": N_("Two methods at once, shortest time"),
    "general.questions": N_("General examination, fewest questions"),
    "specific.questions": N_("Specific examination, fewest questions"),
    "practical.specimens": N_("Practical examination, fewest specimens"),
    "practical.checkpoints": N_("Practical examination, fewest checkpoints"),
    "general.pass": N_("General examination, pass mark"),
    "specific.pass": N_("Specific examination, pass mark"),
    "practical.pass": N_("Practical examination, pass mark"),
    "practical.judged": N_("Practical examination, how specimens are judged"),
    "composite.pass": N_("Composite grade, pass mark"),
    "weights": N_("Weights of general, specific and practical"),
    "retest.days": N_("Wait before a retest"),
    "retest.months": N_("Wait before a retest"),
    "retest.most": N_("Most retests"),
    "retest.years": N_("Time within which retests are taken"),
    "retest.waiver": N_("Retest before its time after further training"),
    "recertification.days": N_("Wait before a recertification retest"),
    "recertification.months": N_("Wait before a recertification retest"),
    "recertification.most": N_("Most recertification retests"),
    "before_examination": N_("Prerequisites met before the examination"),
    "results.years": N_("Examination results usable for"),
    "vision_near.months": N_("Near vision good for"),
    "vision_near.chart": N_("Near vision, coarsest chart"),
    "vision_near.distance": N_("Near vision, distance of the chart"),
    "vision_near.day": N_("Near vision, day on which it must be good"),
    "vision_colour.years": N_("Colour vision good for"),
    "vision_colour.once": N_("Colour vision asked once"),
    "certificate.years": N_("Certificate good for"),
    "certificate.ends_with_employment": N_("Certificate ends with the employment"),
    "rehire.months": N_("Reinstatement after a rehire within"),
    "interruption.months": N_("Longest time without work in the method"),
    "absence.years": N_("Longest absence"),
    "absence.sum_days": N_("Days of absence in all"),
}


def figure_words(key: str) -> str:
    """Name a figure in the reader's language, with its level where it has one."""
    if key in WORDS:
        return _(WORDS[key])
    figure, _dot, step = key.rpartition(".")
    return _("%(figure)s, %(level)s", figure=_(WORDS[figure]), level=_(_LEVELS[step]))
