"""Computed magnetic fields of the usual set-ups: numbers only, SI units, no drawing.

Every function takes metres, amperes and radians and gives amperes per metre (or tesla where it says so).
Currents are peak values wherever the result is compared with a window that a document states as peak.
"""
