"""What is wrong with what stands, and how it is checked."""
