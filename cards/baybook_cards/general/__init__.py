"""The cards that need no calculator."""
