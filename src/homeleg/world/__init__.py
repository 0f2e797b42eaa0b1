"""Wind and weather, ground by eye, and the site."""
