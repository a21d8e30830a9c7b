"""One module for each page."""
