"""What builds need, have and lack of the store; pulls, and the buying list."""
