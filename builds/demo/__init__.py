"""An invented rescue to look around in."""
