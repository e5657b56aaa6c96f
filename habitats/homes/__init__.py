"""Homes and their contacts, written down and changed."""
