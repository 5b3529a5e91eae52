"""Where a fault can lie, what tests say about it, what follows, and what to test next. Plain Python, cheap to import.

The engine reasons about the senses that tests declare. That its chances are calibrated is checked against draws from those
same senses; it does not check the senses themselves, which are common practice unless a source is named.
"""
