"""The high-pressure pump: what it can give, what is taken of it, and how high a pressure it makes."""
