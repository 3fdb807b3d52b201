"""Floor 6: results as charts and documents, as data."""
