"""Floor 7: files from outside, read whole or refused with every fault."""
