"""Names and spellings as a person reads them: two that look alike are one, whatever characters they are made of."""

from __future__ import annotations

import unicodedata

# Cyrillic and Greek letters, and digits, that print as Latin letters do
_LATIN = str.maketrans(
    "абвгдеёзікмнорстухцьѕјһԁԛԝαβγεζηικνορτυχω01_",
    "a6brдeeзikmhopctyxцbsjhdqwaβyεznikvoptuxwol-",
)  # fmt: skip
_OTHERS = "°µΩΔ%‰$€/·*^'\"().-²³¹⁻1234567890 ℃℉"
"""What a unit may be made of beside Latin letters."""


def face(name: str) -> str:
    """What two names that a person cannot tell apart have in common: case, look-alike letters, hyphens and accents left out."""
    plain = unicodedata.normalize("NFKD", name).casefold().translate(_LATIN)
    return "".join(character for character in plain if not unicodedata.combining(character))


def fault_of_spelling(text: str) -> str:
    """Why no unit can be spelled so; "" where one can. Numbers, marks and words of readings and ranges stay what they are."""
    from ..errors import Refused
    from ..numbers import BETWEEN
    from ..reading import find_unit
    from ..spec import AT_LEAST, AT_MOST
    from ..units import UnknownUnit, families_of, find, tidy

    strange = [c for c in text if c not in _OTHERS and not (c.isalpha() and "LATIN" in unicodedata.name(c, ""))]
    if strange:
        return f"has the character {strange[0]!r}, which is none of a unit's"
    if text != tidy(text) or not (text[0].isalpha() or text[0] in '°℃℉%‰"$€' or text.startswith("1/")):
        return "does not begin with a letter, or has blanks where none belong"
    if text.lower() in {word.strip() for word in (*AT_MOST, *AT_LEAST, *BETWEEN, "rdg", "of reading", "x")}:
        return "is a word of readings and ranges"
    if families_of(text):
        try:
            known = find(text).symbol
        except UnknownUnit:
            known = text
        return "" if text in (known, *find(text).others) else f"is read as {known}"
    try:
        unit, reference = find_unit(text)
    except Refused:
        return ""
    return f"is read as {unit.symbol} {reference}".rstrip()
