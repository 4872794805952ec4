"""Sheets of paper: what leaves the house as a PDF to be written on. Plain data in, bytes out; no clock, no chance."""
