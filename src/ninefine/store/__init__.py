"""Floor 7: the one encrypted file."""
