"""Panels that set a pass mark: each sheet of estimates is kept, none is changed, the newest of the last round counts.

The judges are numbers here. Who they were, and how they were chosen, stands in the panel's own record.
"""

from __future__ import annotations

from datetime import datetime
from fractions import Fraction

from sqlalchemy import select
from sqlalchemy.orm import Session, selectinload

from trainer.bank import Bank
from trainer.errors import NotFound, Refused
from trainer.languages import N_, _, ngettext
from trainer.services.admitting import accounts, particulars
from trainer.services.keeping import audit
from trainer.statistics.panel import PanelFigures, figures, read_ratings
from trainer.store.models import Panel, PanelSheet

MOST_ITEM = 80
MOST_NAMES = 20_000


def keep(
    session: Session, bank: Bank, by_id: int, title: str, plan_id: str, names: str, ratings: str, says: str,
    now: datetime,
) -> Panel:  # fmt: skip
    """Keep a panel with its first sheet. ``names`` names the items, with spaces between; "" counts them.

    Raises Refused for what cannot be read, NotFound for a plan that the bank has not.
    """
    if plan_id:
        bank.paper(plan_id)
    rows = read_ratings(ratings)
    made = Panel(
        organisation_id=accounts.colleague(session, by_id, by_id).organisation_id,
        title=particulars.title(title), plan_id=plan_id,
        items={"items": _items(bank, plan_id, names, len(rows[0]))}, made_by_id=by_id, made_at=now,
    )  # fmt: skip
    session.add(made)
    session.flush()  # its number is needed for the sheet and the note
    audit.note(session, by_id, "panel made", made.id, now)
    _add(session, made, 1, rows, says, by_id, now)
    return made


def add(
    session: Session, by_id: int, panel_id: int, ratings: str, says: str, same_round: bool, now: datetime
) -> Panel:
    """Keep a further sheet: of the next round, or in the place of the last one, which stays in the history.

    Raises NotFound for another house's panel, Refused for a sheet that cannot be read or has other items.
    """
    found = own(session, by_id, panel_id)
    rows, of = read_ratings(ratings), len(names_of(found))
    if len(rows[0]) != of:
        raise Refused(
            _(
                "This panel is about %(of)s items; the sheet has %(given)s ratings in a line.",
                of=of,
                given=len(rows[0]),
            )
        )
    _add(session, found, standing(found).round + (not same_round), rows, says, by_id, now)
    return found


def of_house(session: Session, by_id: int) -> list[Panel]:
    """The panels of the asker's house, newest first."""
    home = accounts.colleague(session, by_id, by_id).organisation_id
    wanted = select(Panel).where(Panel.organisation_id == home).order_by(Panel.id.desc())
    return list(session.scalars(wanted.options(selectinload(Panel.sheets))))


def own(session: Session, by_id: int, panel_id: int) -> Panel:
    """A panel of the asker's house. Raises NotFound for anybody else's."""
    found = next((one for one in of_house(session, by_id) if one.id == panel_id), None)
    if found is None:
        raise NotFound(_("There is no such panel."))
    return found


def for_plan(session: Session, by_id: int, plan_id: str) -> Panel | None:
    """The newest panel of the asker's house about a plan of the bank."""
    return next((one for one in of_house(session, by_id) if one.plan_id == plan_id), None)


def standing(panel: Panel) -> PanelSheet:
    """The sheet that counts: the newest of the last round."""
    return max(panel.sheets, key=lambda sheet: (sheet.round, sheet.id))


def figures_of(sheet: PanelSheet) -> PanelFigures:
    """What a sheet comes to, worked out anew from its estimates."""
    return figures(estimates(sheet))


def estimates(sheet: PanelSheet) -> list[list[Fraction]]:
    """The estimates of a sheet in percent, exact, a row a judge."""
    return [[Fraction(rating) for rating in row] for row in sheet.ratings["judges"]]


def names_of(panel: Panel) -> list[str]:
    """The items of a panel in the order of its sheets."""
    return [one["name"] for one in panel.items["items"]]


def changed_since(panel: Panel, bank: Bank) -> list[str]:
    """Items that the bank words otherwise now than when the panel judged them, or has no longer."""
    return [
        one["name"]
        for one in panel.items["items"]
        if one["edition"] and _edition(bank, one["name"]) != one["edition"]
    ]


def words(panel: Panel) -> str:
    """The mark of a panel in a few words, for where an examination is planned."""
    found = figures_of(standing(panel))
    mark = ngettext(
        "%(percent)s %% of %(items)s items by %(n)s judge",
        "%(percent)s %% of %(items)s items by %(n)s judges",
        len(found.judges),
        percent=format(float(found.percent), ".2f"),
        items=found.items,
    )
    if found.error is None:
        return mark
    error = f"{100 * found.error / found.items:.1f}"
    return _("%(mark)s, standard error %(error)s %%", mark=mark, error=error)


def _add(
    session: Session, panel: Panel, number: int, rows: list[list[Fraction]], says: str, by_id: int, now: datetime
) -> None:  # fmt: skip
    told = particulars.sentence(says, N_("The note")) if says.strip() else ""
    judges = [[str(rating) for rating in row] for row in rows]
    panel.sheets.append(PanelSheet(round=number, ratings={"judges": judges}, says=told, by_id=by_id, at=now))
    facts: dict[str, str | int | None] = {"round": number, "judges": len(rows)}
    audit.note(session, by_id, "panel sheet kept", panel.id, now, facts=facts)
    session.flush()


def _items(bank: Bank, plan_id: str, names: str, count: int) -> list[dict[str, str]]:
    named = names[:MOST_NAMES].replace(",", " ").replace(";", " ").split() or [
        str(at) for at in range(1, count + 1)
    ]
    if len(named) != count:
        raise Refused(
            _(
                "%(named)s items are named and each judge has %(count)s ratings. Name each, or none.",
                named=len(named),
                count=count,
            )
        )
    if len(set(named)) < count or max(map(len, named)) > MOST_ITEM:
        raise Refused(
            _("Name each item once, in at most %(most)s characters without spaces.", most=MOST_ITEM)
        )
    strange = [name for name in named if not _edition(bank, name)]
    if plan_id and names.strip() and strange:
        raise Refused(
            _(
                "The bank has no question or drill %(name)s. Write its id as the page Bank shows it.",
                name=strange[0],
            )
        )
    return [{"name": name, "edition": _edition(bank, name)} for name in named]


def _edition(bank: Bank, name: str) -> str:
    entry = bank.questions.get(name) or bank.drills.get(name)
    return entry.edition if entry else ""
