"""Floor 10: the command line, one face of the desk."""
