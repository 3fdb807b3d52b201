"""Floor 8: what a person can do, stage by stage."""
