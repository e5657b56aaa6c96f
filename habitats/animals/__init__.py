"""Animals and groups: who lives where since when, and with whom."""
