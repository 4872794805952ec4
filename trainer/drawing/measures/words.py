"""Every word that a measure writes, in the language of whoever reads it.

Each is a template for ``str.format``; the names in braces are filled with numbers as the house writes them.
"""

from __future__ import annotations

from dataclasses import dataclass

from trainer.languages import N_, _


@dataclass(frozen=True, slots=True)
class Words:
    """The words of the measures as they are written; the catalogues hold them in other languages."""

    dial_title: str = N_("Meter for your answer: {name}")
    dial_scale: str = N_("Scale from {start} to {end}.")
    dial_accepted: str = N_("Accepted from {low} to {high}.")
    dial_accepted_one: str = N_("Accepted is {low}.")
    dial_inside: str = N_("The needle stands at {answer}, inside the band.")
    dial_below: str = N_("The needle stands at {answer}, below the band.")
    dial_above: str = N_("The needle stands at {answer}, above the band.")
    dial_stop: str = N_("The needle stands on the stop: {answer} is off the scale.")
    your_answer: str = N_("your answer")
    accepted: str = N_("accepted")
    close_up: str = N_("{name}, close up")
    span: str = N_("{low} to {high}")
    right: str = N_("Right: the needle stands in the band")
    wrong: str = N_("Wrong: the needle stands outside the band")
    met: str = N_("{name}: met. Has {have}, needs {need}.")
    not_met: str = N_("{name}: not met. Has {have}, needs {need}.")
    expired: str = N_("{name}: expired. Has {have}, needs {need}.")
    strip_none: str = N_("No answers yet.")
    strip_desc: str = N_("{answers} answers, {right} right; running value {value}, the line is at {line}.")
    strip_proofs: str = N_("Right again on a later day: {proofs}.")
    strip_due: str = N_("Due.")
    rule_title: str = N_("How a skill is proven")
    rule_desc: str = N_(
        "{least} right answers lift the average over the line at {line}: steady. A right answer at least {first} day "
        "later and another at least {second} days after that: proven."
    )
    begun: str = N_("begun")
    steady: str = N_("steady")
    proven: str = N_("proven")
    day_later: str = N_("a day later")
    days_later: str = N_("{days} days later")
    dates: str = N_("Dates")
    today: str = N_("today")
    chain_title: str = N_("The way to all proven")
    chain_desc: str = N_(
        "A bar of {total} skills: {proven} proven, {steady} steady and to be proven, {rest} before that."
    )
    chain_proven: str = N_("{count} proven")
    chain_steady: str = N_("{count} steady")
    chain_rest: str = N_("{count} to go")
    chain_total: str = N_("{total} skills to prove")
    times: str = N_("{count} times")
    once: str = N_("once")
    run_desc: str = N_("Last {answers} answers, oldest first: {marks}.")
    run_none: str = N_("No answers yet")
    mark_right: str = N_("right")
    mark_wrong: str = N_("wrong")
    stand_title: str = N_("Where everyone stands")
    stand_desc: str = N_("Number of people at each stop. {stops}.")
    ruler_title: str = N_("Due dates on a rule, {start} to {end}")
    ruler_none: str = N_("Nothing runs out in this time.")
    ruler_today: str = N_("today, {date}")
    ruler_over: str = N_("{name}, ran out")
    ruler_item: str = N_("{name}, {date}")
    seal_whole: str = N_("A whole seal: the record is as it was signed")
    seal_broken: str = N_("A broken seal: the record was changed after it was signed")
    seal_empty: str = N_("A whole seal without a known issuer")
    spread_title: str = N_("Answers of the class: {name}")
    spread_desc: str = N_("{answers} answers, {inside} of them accepted, which is {low} to {high}.")
    spread_slip: str = N_("{slip}: {count} near {value}.")
    spread_beyond: str = N_("{count} further off than the line reaches.")
    piece_spot: str = N_("{number}: {kind}, {x} from the left, {y} from below, {length} long.")
    interval_row: str = N_("{name}: {value}, between {low} and {high}.")
    months: tuple[str, ...] = (
        N_("Jan"),
        N_("Feb"),
        N_("Mar"),
        N_("Apr"),
        N_("May"),
        N_("Jun"),
        N_("Jul"),
        N_("Aug"),
        N_("Sep"),
        N_("Oct"),
        N_("Nov"),
        N_("Dec"),
    )


class _Said(Words):
    """The same words, each looked up when it is written."""

    def __getattribute__(self, name: str) -> object:
        found = super().__getattribute__(name)
        if name.startswith("_"):
            return found
        return tuple(map(_, found)) if isinstance(found, tuple) else _(found)


READER: Words = _Said()
"""The words in the reader's language."""
