"""How each enclosure stands today, kept at hand."""
