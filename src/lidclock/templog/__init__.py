"""Temperature logs: what was measured, what was not, and what that charges."""
