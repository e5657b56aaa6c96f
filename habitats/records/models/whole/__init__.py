"""Everything as one archive in open formats, out and in again: rows as JSON lines, photos."""
