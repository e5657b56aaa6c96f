"""Imports, exports, and the report for an inspection."""
