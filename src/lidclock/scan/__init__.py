"""From what a scanner or a hand typed to a container code or an action."""
