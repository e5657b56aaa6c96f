"""What is remembered or kept at hand, one module a noun."""
