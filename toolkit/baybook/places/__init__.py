"""Where a fault can lie, what tests say about it, what follows, and what to test next. Plain Python, cheap to import.

The engine reasons about the senses that tests declare. That its chances are calibrated is checked against draws from those same
senses; it does not check the senses themselves, which are common practice unless a source is named.
"""

from .choice import NextTest, next_tests
from .complaint import COMPLAINTS, complaint
from .conclusion import Conclusion, Standing, conclude
from .evidence import Evidence
from .fitted import Fitted
from .history import Repair
from .place import NO_FAULT, OFF_MAP, Place
from .sense import COMMON_PRACTICE, HANDS, Need, Question, Sense
from .sentences import Sentence, headline
from .system import SystemMap

__all__ = [
    "COMMON_PRACTICE", "COMPLAINTS", "HANDS", "NO_FAULT", "OFF_MAP", "Conclusion", "Evidence", "Fitted", "Need", "NextTest",
    "Place",
    "Question", "Repair", "Sense", "Sentence", "Standing", "SystemMap", "complaint", "conclude", "headline", "next_tests",
]  # fmt: skip
