"""Any reading against any range, as evidence on the places that it speaks of."""
