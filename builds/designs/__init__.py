"""The drawing board, the sheet of a design, its files."""
