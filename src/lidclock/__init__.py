"""Lidded food containers: what is in each, its last day, what to do next."""

__version__ = "0.1.0"
