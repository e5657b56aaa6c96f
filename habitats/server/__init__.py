"""How the server stands: what a monitor asks, and the page that says it in plain words."""
