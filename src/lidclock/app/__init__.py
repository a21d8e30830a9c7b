"""What a person can do: one function each, over one unit of work."""
