"""The look of the cards: page sizes, stylesheets, symbols, fonts, the renderer, and the cards that need no calculator."""
