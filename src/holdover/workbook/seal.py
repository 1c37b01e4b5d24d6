"""The seal of a workbook: a fingerprint of its parts among its properties. It tells that nobody saved it since.

It guards against a mistake, not against malice: who wants to can write another one.
"""

from collections.abc import Iterable
from hashlib import blake2b
from typing import Final

SEAL: Final = "holdover_seal"
"""Name of the property."""
BEARER: Final = "docProps/custom.xml"
"""The part with the properties; the seal is of all parts before it: sheets, texts, names and looks."""


def seal_of(parts: Iterable[bytes]) -> str:
    """The fingerprint of parts in their order.

    >>> seal_of([b"ab", b"c"]) == seal_of([b"a", b"bc"])
    False
    """
    found = blake2b(digest_size=16)
    for part in parts:
        found.update(len(part).to_bytes(8, "big"))
        found.update(part)
    return found.hexdigest()
