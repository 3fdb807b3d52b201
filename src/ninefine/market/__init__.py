"""Floor 3: prices, quotes, offers, and ways out."""
