"""Cards as plain data: what a card says, before anyone decides how it looks."""
