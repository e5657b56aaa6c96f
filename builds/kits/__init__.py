"""Adoption kits, the pages of adopters, and follow-ups."""
