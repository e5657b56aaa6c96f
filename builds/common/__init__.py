"""What every feature of builds may need: labels of prints, figures, durations, reckonings."""
