"""Floor 2: the append-only book of what happened. It knows no catalog, no price, no file."""
