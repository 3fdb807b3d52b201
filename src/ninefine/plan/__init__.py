"""Floor 5: the best basket to buy, the least to sell, what if, fair shares: whole numbers, proven or said not to be."""
