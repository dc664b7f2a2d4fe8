"""A whole plan as one page for a browser: it needs no other file, no network, and no script to be read."""
