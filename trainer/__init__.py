"""Offline trainer for magnetic particle testing. Rooms and arrows: DEVELOPERS.md.

This module imports nothing, so that ``python3 -m trainer.start`` runs on a bare Python.
"""

__version__ = "0.1.0"
