"""Figures for people: what a place did, how a pan cooled. Bytes out, nothing read."""
