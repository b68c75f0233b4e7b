"""Errors of the nutrition package: one base, with the fields a screen needs."""


class NutritionError(Exception):
    """A mistake in what was given; `fields` names the inputs to mend."""

    def __init__(self, message: str, *, fields: tuple[str, ...] = ()) -> None:
        super().__init__(message)
        self.message = message
        self.fields = fields


class UnitError(NutritionError):
    """A unit is unknown, or does not measure the same thing."""


class InputError(NutritionError):
    """A quantity is missing, out of range, or contradicts another."""


class TableError(NutritionError):
    """The data files are not usable; `problems` has one line per fault, with file and line."""

    def __init__(self, problems: tuple[str, ...]) -> None:
        super().__init__("The nutrition data cannot be used:\n" + "\n".join(problems))
        self.problems = problems


class UnknownKeyError(NutritionError):
    """A food, standard, stage or class is not in the tables."""

    def __init__(self, what: str, given: str, allowed: tuple[str, ...]) -> None:
        shown = ", ".join(allowed[:12]) + (", ..." if len(allowed) > 12 else "")
        super().__init__(
            f"There is no {what} called {given!r}. Use one of: {shown}.", fields=(what,)
        )
