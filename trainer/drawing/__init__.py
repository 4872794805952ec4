"""Drawings as plain SVG text: figures to scale, and measures that show a judgement. Pure, no clock, no chance."""
