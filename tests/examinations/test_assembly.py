"""Papers: filled as composed, no enemies, no repeats, least used first; what the bank lacks is said in words."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.banks import shipped_shelf, small_shelf
from tests.work import calls_in
from trainer.bank.question import NumberQuestion
from trainer.errors import Refused
from trainer.examinations import assembly
from trainer.examinations.assembly import Candidate, assemble, pool_of
from trainer.examinations.checking import check_paper
from trainer.examinations.composition import Composition, composed
from trainer.examinations.likeness import likeness
from trainer.qualification.scheme_reader import read_schemes

FOLDER = Path(__file__).parents[2] / "question_bank"
BANK = shipped_shelf().bank
SCHEMES = read_schemes(FOLDER / "schemes")
FAMILIES = ("SNT-2020", "ISO9712-2021", "NAS410-EN4179")
PLANS = [(plan, scheme) for plan in BANK.papers for scheme in FAMILIES]


def composition(plan: str, scheme: str) -> Composition:
    """The composition of a shipped plan with the numbers of a shipped scheme."""
    it = BANK.paper(plan).plan
    items = SCHEMES[scheme].count(f"{it.part}.questions")
    assert items is not None
    return composed(it, items - len(it.drills), drills=[one.drill for one in it.drills])


def check_questions_of(made: Composition, questions: tuple[str, ...]) -> None:
    """Every law of a paper, asked of the questions themselves."""
    entries = [BANK.question(name) for name in questions]
    assert len(set(questions)) == made.count
    assert Counter(one.topic for one in entries) == dict(made.topics)
    assert not {enemy for one in entries for enemy in one.question.enemies} & set(questions)
    assert sum(one.question.safety for one in entries) * 8 >= made.count + len(made.drills)
    assert sum(one.question.level == made.level for one in entries) >= made.own_level
    for one in entries:
        assert (one.question.pool, one.question.part, one.confirmed) == ("examination", made.part, True)
        assert one.question.level == "I" or made.level == "II"
        if isinstance(one.question, NumberQuestion):
            assert one.question.drill not in made.drills


@pytest.mark.parametrize(("plan", "scheme"), PLANS)
def test_every_shipped_plan_is_filled(plan: str, scheme: str) -> None:
    """A hundred papers one after the other, as uses grow, each with every law of a paper kept."""
    made = composition(plan, scheme)
    pool = pool_of(BANK, made)
    uses: Counter[str] = Counter()
    for seed in range(100):
        found = assemble(made, pool, uses, seed)
        assert found.lacks == ()
        check_questions_of(made, found.questions)
        uses.update(found.questions)


@pytest.mark.parametrize("plan", BANK.papers)
def test_shipped_plans_are_sound(plan: str) -> None:
    """Topics and drills of each plan are in the bank, and an eighth of the weight can be safety."""
    assert check_paper(BANK, BANK.paper(plan)) == []


def test_the_same_seed_is_the_same_paper() -> None:
    """Today and in ten years; another seed is another paper."""
    made = composition("general-1", "SNT-2020")
    pool = pool_of(BANK, made)
    one, same, other = (assemble(made, pool, {}, seed).questions for seed in (4, 4, 5))
    assert one == same != other


def test_least_used_first() -> None:
    """What stood on papers before comes only where nothing else fits."""
    pool = [Candidate(f"q{n}", "coil", "I", False, frozenset()) for n in range(8)]
    made = Composition("general", "I", (("coil", 4),), 0, 0)
    uses = {f"q{n}": 3 for n in range(4)}
    for seed in range(20):
        assert set(assemble(made, pool, uses, seed).questions) == {"q4", "q5", "q6", "q7"}


def test_lacks_are_said() -> None:
    """Too few of a topic, too little safety, too few of the level: each is a sentence."""
    pool = [Candidate("a", "coil", "I", False, frozenset()), Candidate("b", "prods", "I", False, frozenset())]
    made = Composition("general", "II", (("coil", 2), ("light-and-uv", 1), ("prods", 1)), 1, 1)
    assert assemble(made, pool, {}, 1).lacks == (
        "coil: 2 wanted, 1 to be had",
        "light and UV: 1 wanted, none to be had",
        "safety: 1 wanted, 0 fit beside the rest",
        "Level II: 1 wanted, 0 fit beside the rest",
    )


def test_enemies_never_meet() -> None:
    """Two that give each other away leave a paper of two unfilled, also where only one of them names the other."""
    bank = small_shelf().bank
    made = Composition("general", "I", (("coil", 6),), 0, 0)
    pool = pool_of(bank, made)
    assert {one.id: set(one.enemies) for one in pool if one.enemies} == {
        "wire-counts-twice": {"crack-across-coil"}, "crack-across-coil": {"wire-counts-twice"},
    }  # fmt: skip
    assert assemble(made, pool, {}, 1).lacks == ("coil: 6 wanted, 5 fit beside the rest",)


@given(st.integers(1, 60), st.dictionaries(st.sampled_from("abcdefgh"), st.integers(0, 20), min_size=1))
def test_shares_add_up(count: int, weights: dict[str, int]) -> None:
    """Whatever the weights, the topics have the count together, and no topic is more than one from its share."""
    plan = BANK.paper("general-2").plan
    if not any(weights.values()):
        with pytest.raises(Refused, match="at least one topic"):
            composed(plan, count, weights)
        return
    made = composed(plan, count, weights)
    assert made.count == count
    for topic, number in made.topics:
        assert abs(number - count * weights[topic] / sum(weights.values())) < 1
    assert made.safety * 8 >= count
    assert Composition.of_data(made.as_data()) == made


@pytest.mark.parametrize("count", [0, -3, 61])
def test_impossible_counts_are_refused(count: int) -> None:
    """A paper has at least one question, and no more than somebody can sit."""
    with pytest.raises(Refused, match="1 to 60 questions"):
        composed(BANK.paper("general-1").plan, count)


def test_the_search_is_bounded() -> None:
    """Where no paper can be made, the work stays that of a few tries, however many questions there are."""

    def work(questions: int) -> int:
        names = [f"q{n}" for n in range(questions)]
        pool = [Candidate(name, "coil", "I", False, frozenset(names) - {name}) for name in names]
        made = Composition("general", "I", (("coil", 2),), 0, 0)
        return calls_in(lambda: assemble(made, pool, {}, 1))

    assert work(80) < 4.5 * work(20)
    assert assembly.TRIES <= 50


def test_likeness_by_hand() -> None:
    """Two of three papers share one of two questions; counted per topic, level and safety."""
    names = ["yokes-off-first", "pads-before-shot", "hot-lug-first"]
    known = small_shelf().bank.questions
    found = likeness([names[:2], names[1:], [names[0], names[2]]], known)
    assert found is not None
    assert (found.papers, found.shared, found.closest) == (3, 1 / 2, 1 / 2)
    spreads = {one.name: (one.fewest, one.most) for one in found.spreads}
    assert spreads == {"coil": (2, 2), "Level I": (2, 2), "on safety": (1, 2)}
    assert likeness([names, []], known) is None
