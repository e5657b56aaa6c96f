"""What each role does in the tool, on two pages to print."""
