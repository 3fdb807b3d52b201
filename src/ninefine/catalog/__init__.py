"""Floor 2: what a piece is by its specification, with the source of every row."""
