"""Measures: every judgement of the house drawn to scale against its limit. Numbers in, SVG text out.

Classes only; the style sheet colours them. Each function takes ``fid``, the stem of its ids, which must differ for
every drawing of one page, and ``words``, so that another language can be handed in.
"""

from trainer.drawing.measures.chain import chain
from trainer.drawing.measures.dial import dial
from trainer.drawing.measures.distribution import SlipMark, distribution
from trainer.drawing.measures.gauge import dates_gauge, gauge, mark
from trainer.drawing.measures.intervals import CORRELATIONS, SHARES, Row, intervals
from trainer.drawing.measures.piece import Spot, piece
from trainer.drawing.measures.rule import rule
from trainer.drawing.measures.ruler import Due, ruler
from trainer.drawing.measures.seal import seal
from trainer.drawing.measures.strip import Stroke, strip, strip_axis
from trainer.drawing.measures.tally import Stop, run, stand, tally
from trainer.drawing.measures.words import READER, Words

__all__ = [
    "CORRELATIONS",
    "READER",
    "SHARES",
    "Due",
    "Row",
    "SlipMark",
    "Spot",
    "Stop",
    "Stroke",
    "Words",
    "chain",
    "dates_gauge",
    "dial",
    "distribution",
    "gauge",
    "intervals",
    "mark",
    "piece",
    "rule",
    "ruler",
    "run",
    "seal",
    "stand",
    "strip",
    "strip_axis",
    "tally",
]
