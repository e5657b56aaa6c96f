"""What stands, who lives in it and what lines it; also the Django project package."""
