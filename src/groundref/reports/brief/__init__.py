"""A plan on one page of paper: what it says, and how it is set."""
