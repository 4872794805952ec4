"""Examinations from plan to score: sittings, papers on screen and on paper, practicals, appeals, statistics."""
