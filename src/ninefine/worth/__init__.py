"""Floor 4: what the silver is worth, by each way out."""
