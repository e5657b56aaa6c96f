"""Homes, enclosures and groups looked at, and animals on their way."""
