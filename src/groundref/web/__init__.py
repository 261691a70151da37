"""The page that an instructor works in, served on the user's own machine."""
