"""The whole installation in one file, and back again; the move to another database."""
