"""What was seen, as evidence on the places that it speaks of."""
