"""The page of sources of all figures, and the short link to it."""
