"""Suspected infections: what they met, and what to do about it."""
