"""The constants of the thawing model as JSON for the phone."""

from typing import Any

from nutrition.coefficients import load_thaw
from nutrition.thermal import load_components

# The shape is JSON's own, so its values are of any JSON type.
Json = dict[str, Any]


def thaw_json() -> Json:
    """Return the constants by key with their sources, and the components' polynomials."""
    components: dict[str, Json] = {}
    for (name, quantity), polynomial in load_components().items():
        components.setdefault(name, {})[quantity] = list(polynomial)
    return {
        "components": components,
        "constants": {
            key: {"value": item.value, "source": item.source, "verified": item.verified}
            for key, item in load_thaw().items()
        },
    }
