"""Every word that a measure writes, so that one that reads another language can be handed in.

Each is a template for ``str.format``; the names in braces are filled with numbers as the house writes them.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Words:
    """The words of the measures. The defaults are the English ones."""

    dial_title: str = "Meter for your answer: {name}"
    dial_scale: str = "Scale from {start} to {end}."
    dial_accepted: str = "Accepted from {low} to {high}."
    dial_accepted_one: str = "Accepted is {low}."
    dial_inside: str = "The needle stands at {answer}, inside the band."
    dial_below: str = "The needle stands at {answer}, below the band."
    dial_above: str = "The needle stands at {answer}, above the band."
    dial_stop: str = "The needle stands on the stop: {answer} is off the scale."
    your_answer: str = "your answer"
    accepted: str = "accepted"
    close_up: str = "{name}, close up"
    span: str = "{low} to {high}"
    right: str = "Right: the needle stands in the band"
    wrong: str = "Wrong: the needle stands outside the band"
    met: str = "{name}: met. Has {have}, needs {need}."
    not_met: str = "{name}: not met. Has {have}, needs {need}."
    expired: str = "{name}: expired. Has {have}, needs {need}."
    strip_none: str = "No answers yet."
    strip_desc: str = "{answers} answers, {right} right; running value {value}, the line is at {line}."
    strip_proofs: str = "Right again on a later day: {proofs}."
    strip_due: str = "Due."
    rule_title: str = "How a skill is proven"
    rule_desc: str = (
        "{least} right answers lift the average over the line at {line}: steady. A right answer at least {first} day "
        "later and another at least {second} days after that: proven."
    )
    begun: str = "begun"
    steady: str = "steady"
    proven: str = "proven"
    day_later: str = "a day later"
    days_later: str = "{days} days later"
    dates: str = "Dates"
    today: str = "today"
    chain_title: str = "The way to all proven"
    chain_desc: str = (
        "A bar of {total} skills: {proven} proven, {steady} steady and to be proven, {rest} before that."
    )
    chain_proven: str = "{count} proven"
    chain_steady: str = "{count} steady"
    chain_rest: str = "{count} to go"
    chain_total: str = "{total} skills to prove"
    times: str = "{count} times"
    once: str = "once"
    run_desc: str = "Last {answers} answers, oldest first: {marks}."
    run_none: str = "No answers yet"
    mark_right: str = "right"
    mark_wrong: str = "wrong"
    stand_title: str = "Where everyone stands"
    stand_desc: str = "Number of people at each stop. {stops}."
    ruler_title: str = "Due dates on a rule, {start} to {end}"
    ruler_none: str = "Nothing runs out in this time."
    ruler_today: str = "today, {date}"
    ruler_over: str = "{name}, ran out"
    ruler_item: str = "{name}, {date}"
    seal_whole: str = "A whole seal: the record is as it was signed"
    seal_broken: str = "A broken seal: the record was changed after it was signed"
    seal_empty: str = "A whole seal without a known issuer"
    spread_title: str = "Answers of the class: {name}"
    spread_desc: str = "{answers} answers, {inside} of them accepted, which is {low} to {high}."
    spread_slip: str = "{slip}: {count} near {value}."
    spread_beyond: str = "{count} further off than the line reaches."
    piece_spot: str = "{number}: {kind}, {x} from the left, {y} from below, {length} long."
    interval_row: str = "{name}: {value}, between {low} and {high}."
    months: tuple[str, ...] = (
        "Jan",
        "Feb",
        "Mar",
        "Apr",
        "May",
        "Jun",
        "Jul",
        "Aug",
        "Sep",
        "Oct",
        "Nov",
        "Dec",
    )


ENGLISH = Words()
