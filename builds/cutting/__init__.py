"""Pure: pieces laid out on stock sheets so that a knife and a straightedge can cut them."""
