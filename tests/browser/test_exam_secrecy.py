"""What a candidate's browser gets and holds before the close: no key, no accepted interval, no seed to work one out from."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from typing import Any

import pytest
from sqlalchemy import select

from tests.make import NOW, PASSPHRASE, People, make_class
from tests.sitting import CODE, DRILL
from trainer.drills.shelf import Shelf
from trainer.examinations.composition import composed
from trainer.examinations.plan import Line, Plan
from trainer.services.examining import paper_items, seals, sittings
from trainer.services.keeping import passphrase_keys, sealed_papers
from trainer.store import Database
from trainer.store.models import PaperAnswer

pytestmark = pytest.mark.browser
WRITTEN = "77.125 A"
WITNESS = "stands in the memory"


def open_sitting(store: Database, shelf: Shelf, people: People) -> None:
    """A sealed examination of two drills and three questions, open for Tess."""
    asked = composed(shelf.bank.papers["small-1"].plan, 3, {"coil": 1})
    new = passphrase_keys.fresh(PASSPHRASE, PASSPHRASE)
    with store.writing() as session:
        taught = make_class(session, people.ian, people.tess).id
        wanted = Plan((Line(DRILL, "I", 2),), 50, "general", questions=asked)
        made = sittings.plan(session, shelf, people.ian, taught, "Coils", "I", 30, wanted, CODE, NOW).id
        seals.seal(session, people.ian, made, new, NOW)
        sittings.open_sitting(session, people.ian, made, NOW)


def heap(page: Any) -> str:
    """Everything that the page's scripts hold in memory, as a debugger writes it out, and the document as it stands.

    A word that is laid there first must be in it.
    """
    page.wait_for_load_state()
    page.evaluate(f"globalThis.witness = ['{WITNESS}', location.pathname].join(' ')")
    debugger = page.context.new_cdp_session(page)
    parts: list[str] = []
    debugger.on("HeapProfiler.addHeapSnapshotChunk", lambda event: parts.append(event["chunk"]))
    debugger.send("HeapProfiler.enable")
    debugger.send("HeapProfiler.takeHeapSnapshot", {"captureNumericValue": True})
    debugger.detach()
    held = "\n".join(json.loads("".join(parts))["strings"])  # what else it tells are sizes and places
    assert f"{WITNESS} /trainee/" in held
    return held + page.content()


def secrets_of(store: Database, shelf: Shelf) -> dict[str, str]:
    """What would tell a key, by what it is: seeds, answers and limits, what a slip gives, the reason of each option."""
    found: dict[str, str] = {}
    with store.reading() as session:
        for row in session.scalars(select(PaperAnswer)):
            kept, at = sealed_papers.facts(row), f"item {row.position}: "
            found[f"{at}seed"] = str(kept["seed"])
            found[f"{at}edition"] = kept["edition"]
            if paper_items.is_question(row):
                for choice in paper_items.question(session, shelf, row).choices:
                    found[f"{at}why {choice.letter}"] = choice.because
                continue
            _mould, drawn = paper_items.exercise(session, shelf, row)
            numbers = {"answer": drawn.answer, "low": drawn.accepted.low, "high": drawn.accepted.high}
            numbers |= {f"slip {slip.place}": slip.value for slip in drawn.slips}
            for name, value in numbers.items():
                found[f"{at}{name}"] = f"{value:.6g}"
                found[f"{at}{name} in full"] = str(value)
    return {name: text for name, text in found.items() if len(text) > 6}  # a short one stands there by chance


def test_neither_replies_nor_memory_hold_a_key(
    page_of: Callable[..., Any], store: Database, shelf: Shelf, people: People
) -> None:
    """Every reply that came, and the memory of the page at every item, hold what was written and nothing that tells it."""
    open_sitting(store, shelf, people)
    tess = page_of(people.tess)
    got: list[str] = []

    def pass_on(route: Any) -> None:
        reply = route.fetch(max_redirects=0)
        got.append(f"{reply.headers} {reply.body().decode('utf-8', 'replace')}")
        route.fulfill(response=reply)

    tess.route("**/*", pass_on)
    tess.goto("/trainee/examination")
    tess.get_by_label("Code").fill(CODE)
    tess.keyboard.press("Enter")
    tess.get_by_role("button", name="Start: my time begins now").click()
    tess.get_by_role("link", name="Begin with item 1").click()
    for item in range(1, 6):
        tess.wait_for_url(f"**/{item}")
        if tess.locator("input#answer").count():
            tess.locator("input#answer").fill(WRITTEN)
        else:
            tess.locator("input[type=radio]").first.check()
        got.append(heap(tess))
        tess.get_by_role("button", name="Keep").first.click()
    tess.wait_for_url(re.compile(r"/papers/\d+$"))
    got.append(heap(tess))
    everything = "\n".join(got)
    assert "Coils" in everything
    hidden = secrets_of(store, shelf)
    assert len(hidden) > 20
    assert [name for name, text in hidden.items() if text in everything] == []
