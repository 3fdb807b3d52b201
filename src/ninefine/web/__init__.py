"""Floor 10: the pages, one face of the desk. No arithmetic here: a page asks the desk and shows what it answers."""
