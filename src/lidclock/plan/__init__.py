"""Planning: how much to make of what, pure sums on exact numbers."""
