"""Designs and their revisions as rows."""
