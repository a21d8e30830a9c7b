"""Temperatures as they were: readings, what lies between them, and what it amounts to.

Pure: arrays and values in, values out. A `Series` is what one sensor said; a `Course`
is what a place did: straight lines between readings, and gaps where nobody measured.
"""
