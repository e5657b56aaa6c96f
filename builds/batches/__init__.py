"""Batches, cutting jobs with their searches, and sheet plans."""
