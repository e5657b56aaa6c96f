"""Shared by all features of builds: labels of prints, figures, durations, reckonings."""
