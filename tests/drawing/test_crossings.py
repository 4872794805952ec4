"""Words of figures and field pictures: no line runs through them, and pointing lines end at what they name."""

from __future__ import annotations

import random

import pytest
from figure_samples import SAMPLES, choose, random_numbers, typical
from strokes import astray, crossed_words
from test_fieldpictures import SAMPLES as FIELDS
from test_fieldpictures import SEEDS as FIELD_SEEDS
from test_fieldpictures import roles, words
from test_figures import SEEDS

from trainer.drawing.fieldpictures import draw_field
from trainer.drawing.figures import draw
from trainer.drawing.inspection import lettering


@pytest.mark.parametrize("kind", sorted(SAMPLES))
def test_no_line_runs_through_the_words_of_a_figure(kind: str) -> None:
    """Words stand clear of lines and hatchings they do not belong to, or have a plate; arrows end on a line."""
    for seed in range(0, SEEDS, 4):
        figure = draw(kind, "f", random_numbers(kind, seed), choose(kind, seed))
        assert not crossed_words(figure, lettering(figure)), seed
        assert not astray(figure), seed


@pytest.mark.parametrize("kind", sorted(FIELDS))
def test_no_line_runs_through_the_words_of_a_field_picture(kind: str) -> None:
    """The same of field lines, curves, bands and axes."""
    for seed in range(FIELD_SEEDS):
        figure = draw_field(kind, "f", roles(kind, random.Random(seed)), words(kind, seed)).figure
        assert not crossed_words(figure, lettering(figure)), seed
        assert not astray(figure), seed


def test_a_crossed_word_is_found() -> None:
    """The reading back can fail: without its plates, or with a line through its words, a figure is not sound."""
    figure = draw("tube-section", "f", typical("tube-section"))
    text, box = lettering(figure)[0]
    middle = (box.top + box.bottom) / 2
    line = f'<line class="edge" x1="{box.left}" y1="{middle}" x2="{box.right}" y2="{middle}"/>'
    spoilt = type(figure)(figure.svg.replace("</svg>", line + "</svg>"), "", "", 380, 300, "")
    assert crossed_words(spoilt, [(text, box)]) == [f"{text} on ['edge']"]
