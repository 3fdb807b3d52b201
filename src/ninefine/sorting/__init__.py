"""Floor 3: telling a heap apart."""
