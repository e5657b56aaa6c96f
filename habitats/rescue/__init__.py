"""The rescue's settings, and what its rule set says."""
