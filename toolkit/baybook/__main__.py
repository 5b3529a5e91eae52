"""`python -m baybook`."""

import sys

from .start import main

sys.exit(main())
