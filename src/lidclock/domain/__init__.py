"""Values, events and the fold that turns events into containers."""
