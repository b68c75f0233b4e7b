"""What a trace is made of: the names of rules, with plain arguments."""

from collections.abc import Callable
from typing import Any

Step = tuple[str, dict[str, Any]]
Rule = Callable[..., None]
RULES: dict[str, Rule] = {}


def rule(function: Rule) -> Rule:
    """Make a function of the world a rule, under its own name."""
    RULES[function.__name__.rstrip("_")] = function
    return function
