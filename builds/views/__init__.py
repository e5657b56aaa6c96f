"""Pages, one module a noun. Thin: access, form, one call, answer."""
