"""Floor 3: what a test says of a piece or a heap. Measured values only; never that a piece is genuine."""
