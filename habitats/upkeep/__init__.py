"""Upkeep of what stands: what may be wrong, how urgent it is, what is checked, and when.

Pure: no Django and no clock. No source says how often or for how long; every figure here is
common practice.
"""
