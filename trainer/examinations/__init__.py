"""Examinations: what a paper scores, exactly. Pure."""
