"""Homeleg: the dispatch office and flight-test department of a small fixed-wing operator."""

__version__ = "0.1.0"
