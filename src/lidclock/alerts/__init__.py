"""What deserves a voice now."""
