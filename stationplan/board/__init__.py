"""A board for the wall: a small web page from which a shift is recorded, kept up to date on every screen."""
