"""`python -m baybook`."""

import sys

from .start import program

sys.exit(program())
