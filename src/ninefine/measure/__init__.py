"""Floor 1: mass, money and numbers, exact."""
