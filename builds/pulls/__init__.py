"""Needs of builds from the store: reserved, issued and short; pulls; the buying list."""
