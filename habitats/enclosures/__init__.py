"""Enclosures: their parts, their states, the home they stand in."""
