"""What a file said, and the clean track made of it."""
