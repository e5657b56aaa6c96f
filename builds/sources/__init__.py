"""Where every figure is from: one page, and the short link to it."""
