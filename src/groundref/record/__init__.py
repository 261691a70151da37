"""The training record: every lesson kept, nothing lost."""
