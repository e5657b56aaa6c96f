"""What the words on the screens mean."""
