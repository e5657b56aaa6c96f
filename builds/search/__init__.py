"""Search over all that the rescue keeps, in one field."""
