"""What a kernel need not load."""

from __future__ import annotations

import sys
from typing import Any


def spare_address_grammar() -> None:
    """Keep Altair's checker of JSON schemas from loading a grammar of internationalised addresses (RFC 3987) where that
    package is installed, as it is with Voila: two seconds of work at the start of every kernel, and no chart holds one.
    The checker takes the package for missing and goes on without it.
    """
    modules: dict[str, Any] = sys.modules
    modules.setdefault("rfc3987_syntax", None)
