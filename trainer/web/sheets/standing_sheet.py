"""A standing as the plain data of pieces/gauge.html, with the choosers of scheme, level and day."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from flask import request
from markupsafe import Markup, escape

from trainer.drawing.measures import dates_gauge, gauge
from trainer.languages import N_, _, ngettext, pgettext
from trainer.qualification import CONVENTIONS, Row, Scheme, Standing, Verdict
from trainer.qualification.words import amount
from trainer.services.qualifying import schemes, standing
from trainer.services.qualifying.standing import Placed
from trainer.web.access import parts, this_day
from trainer.web.sheets.days import dated, day, iso

WORDS = {Verdict.MET: N_("met"), Verdict.NOT_MET: N_("not met"), Verdict.EXPIRED: N_("expired")}
MOST_ENTRIES = 8


@dataclass(frozen=True, slots=True)
class Asked:
    """What a page asks to be judged: by which scheme, at which level, on which day, beside which other."""

    scheme: str
    level: str
    on: date
    beside: str
    fault: str = ""


def known() -> dict[str, Scheme]:
    """The schemes of this installation."""
    return schemes.known(parts().settings.private_bank)


def asked(values: Mapping[str, str] | None = None) -> Asked:
    """What the address (or a form) asks for; what cannot be is left out, a bad day with a sentence."""
    given = request.args if values is None else values
    offered, today = known(), this_day()
    typed = given.get("on", "").strip()
    on = iso(typed) if typed else today
    return Asked(
        scheme=given.get("scheme", "") if given.get("scheme", "") in offered else "",
        level=given.get("level", "") if given.get("level", "") in ("I", "II") else "",
        on=on or today,
        beside=given.get("beside", "") if given.get("beside", "") in offered else "",
        fault=""
        if on
        else _("This is no date. Write year, month, day: 2026-11-25. Judged for today instead."),
    )


def sheet(placed: Placed, wanted: Asked, link: Callable[[str], str]) -> dict[str, Any]:
    """Everything that the sheet of one standing shows; ``link`` gives the address of an entry."""
    judged = placed.standing
    rows = judged.prerequisites
    met = sum(row.verdict is Verdict.MET for row in rows)
    return {
        "heading": heading(judged),
        "lead": _lead(judged, met),
        "scheme": scheme_words(judged.scheme),
        "scheme_id": judged.scheme.id,
        "level": str(judged.level),
        "route": judged.route,
        "on": judged.on.isoformat(),
        "on_words": day(judged.on),
        "practice": dated(judged.scheme.practice) or pgettext("written practice", "none"),
        "rows": [_row(row, placed, number, link) for number, row in enumerate(rows)],
        "missing": [(standing.title(name), dated(f"{says.rstrip('.')}.")) for name, says in judged.missing],
        "remarks": [dated(says) for says in judged.remarks],
        "unverified": [(entry, dated(why)) for entry, why in judged.unverified],
        "memory": any(row.unconfirmed for row in rows),
        "beside": wanted.beside,
        "fault": wanted.fault,
    }


def heading(judged: Standing) -> str:
    """The result in one line."""
    if judged.overall is Verdict.MET:
        return _("Prerequisites met on %(day)s on these records", day=day(judged.on))
    return _("Prerequisites not all met on %(day)s on these records", day=day(judged.on))


def scheme_words(scheme: Scheme) -> str:
    """A scheme by document and edition."""
    return f"{scheme.document}, {scheme.edition}"


def choosers() -> dict[str, Any]:
    """The options of the form above a standing."""
    return {
        "schemes": [(one.id, scheme_words(one)) for one in known().values()],
        "levels": [("I", _("Level I")), ("II", _("Level II"))],
        "conventions": [(name, _(says)) for name, says in CONVENTIONS],
    }


def compared(first: Placed, second: Placed) -> list[dict[str, str]]:
    """Two schemes side by side for one person: a line for each prerequisite of either."""
    ids = [row.id for row in first.standing.prerequisites]
    ids += [row.id for row in second.standing.prerequisites if row.id not in ids]
    one, other = first.outline, second.outline
    return [
        {"name": standing.title(name), "first": _brief(one.row(name)), "second": _brief(other.row(name))}
        for name in ids
    ]


def _brief(row: Row | None) -> str:
    if row is None:
        return _("not asked")
    if row.need is not None and row.unit:
        have, need = amount(row.have, row.unit), amount(row.need, row.unit)
        return _("%(verdict)s: %(have)s of %(need)s", verdict=_(WORDS[row.verdict]), have=have, need=need)
    if row.until:
        return _("%(verdict)s, good until %(day)s", verdict=_(WORDS[row.verdict]), day=day(row.until))
    return _(WORDS[row.verdict])


def _lead(judged: Standing, met: int) -> str:
    count = len(judged.prerequisites)
    if met == count:
        return _("All %(count)s are met.", count=count)
    short = [
        _("%(name)s (ran out)", name=_lower(standing.title(row.id)))
        if row.verdict is Verdict.EXPIRED
        else _lower(standing.title(row.id))
        for row in judged.prerequisites
        if row.verdict is not Verdict.MET
    ]
    return ngettext(
        "%(n)s of %(count)s are met. Open: %(open)s.",
        "%(n)s of %(count)s are met. Open: %(open)s.",
        met,
        count=count,
        open="; ".join(short),
    )


def _lower(title: str) -> str:
    return f"{title[:1].lower()}{title[1:]}"


def _row(row: Row, placed: Placed, number: int, link: Callable[[str], str]) -> dict[str, Any]:
    unit = row.unit or ""
    return {
        "name": standing.title(row.id),
        "verdict": WORDS[row.verdict],
        "gauge_svg": _gauge(row, placed, f"g{number}"),
        "have": amount(row.have, unit) if row.need is not None else day(_done(row, placed)) or _("nothing"),
        "need": amount(row.need, unit) if row.need is not None else _("still good"),
        "until": _until(row),
        "clause": row.clause,
        "status": "",
        "entries": _links(row.entries, link),
        "says": "",  # what is missing stands below the table, once
    }


def _until(row: Row) -> Markup | str:
    if row.until is not None:
        return Markup('<span class="nb">{}</span>').format(day(row.until))
    return _("nothing yet") if row.need is None and row.verdict is not Verdict.MET else ""


def _links(names: tuple[str, ...], link: Callable[[str], str]) -> Markup:
    shown = [Markup('<a href="{}">{}</a>').format(link(name), name) for name in names[:MOST_ENTRIES]]
    more = len(names) - len(shown)
    listed = Markup(", ").join(shown)
    return (
        Markup(escape(_("%(shown)s and %(more)s more"))) % {"shown": listed, "more": more} if more else listed
    )


def _gauge(row: Row, placed: Placed, fid: str) -> str:
    name, unit, expired = standing.title(row.id), row.unit or "", row.verdict is Verdict.EXPIRED
    if row.need is not None:
        if (
            row.id == "training_practical_share"
        ):  # a share that must stay under its line has no bar to reach it
            return ""
        have, need = float(row.have or 0), float(row.need)
        has, needs = amount(row.have, unit), amount(row.need, unit)
        return gauge(have, need, name, fid=fid, has=has, needs=needs)
    done = _done(row, placed)
    if done and row.until and row.until >= done:
        has, needs = day(done), _("good on %(day)s", day=day(placed.standing.on))
        return dates_gauge(done, row.until, placed.standing.on, name, fid=fid, has=has, needs=needs)
    met = 1.0 if row.verdict is Verdict.MET else 0.0
    return gauge(met, 1.0, name, fid=fid, expired=expired, has=_(WORDS[row.verdict]), needs=_("still good"))


def _done(row: Row, placed: Placed) -> date | None:
    """The day on which what is held was done: that of the newest entry which the row counts."""
    days = [entry.last or entry.first for entry in placed.history.entries if entry.id in row.entries]
    return max(days, default=None)
