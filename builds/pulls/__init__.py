"""What of the store builds need, and what is reserved, issued and short; pulls, buying list."""
