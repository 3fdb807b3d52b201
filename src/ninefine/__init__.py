"""ninefine: savings in physical silver, from the offer to what it is worth."""

__version__ = "0.1.0"
