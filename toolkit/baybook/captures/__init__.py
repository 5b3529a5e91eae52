"""Captures: what loggers and oscilloscopes write, read with care and reported honestly.

`read_capture` reads a file; `inspect` tells what is in one from its beginning; `describe` puts a report in words.
"""

from .describe import describe, describe_inspection
from .inspection import Inspection, inspect
from .model import Capture, Channel, Column, Dialect, Dropped, Gap, Missing, Report, TimeAxis
from .reader import read_capture

__all__ = [
    "Capture", "Channel", "Column", "Dialect", "Dropped", "Gap", "Inspection", "Missing", "Report", "TimeAxis",
    "describe", "describe_inspection", "inspect", "read_capture",
]
