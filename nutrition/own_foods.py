"""A food of the household's own, whichever way it was written down."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from nutrition.copies import CutParts, edited_copy
from nutrition.errors import InputError
from nutrition.food import Amounts, Food, with_sums
from nutrition.label_lines import LabelLine, Serving, amounts_of
from nutrition.labels import Label, check_nutrients, food_from_label
from nutrition.supplements import supplement


@dataclass(frozen=True, slots=True)
class OwnFood:
    """The record of a household's own food.

    A copy names the table's food in `copied_from`, and its own figures are in
    `nutrients_per_100g`. A supplement has lines per serving and no label.
    """

    key: str
    name: str
    style: str = ""
    label: Label | None = None
    energy_kcal_per_100g: float | None = None
    nutrients_per_100g: Amounts = field(default_factory=dict)
    lines: Sequence[LabelLine] = ()
    serving: Serving | None = None
    copied_from: str | None = None
    bone_share_pct: float | None = None


def composed(
    own: OwnFood, *, foods: Mapping[str, Food], cut_parts: Mapping[str, CutParts]
) -> Food | None:
    """Return the composition of an own food, None while too little of it is written down.

    Parameters
    ----------
    own : OwnFood
        The record; amounts as its parts state them [per 100 g, per kg or per serving].
    foods : mapping of str to Food
        The table's foods, for a copy [per 100 g].
    cut_parts : mapping of str to CutParts
        What the table's cuts with bone are mixed from [per 100 g].

    Returns
    -------
    Food or None
        The composition [per 100 g].

    Raises
    ------
    InputError
        If what is written down contradicts itself.
    """
    if own.copied_from:
        base = foods.get(own.copied_from)
        if base is None:
            return None
        return edited_copy(
            base,
            key=own.key,
            name=own.name,
            own=own.nutrients_per_100g,
            energy_kcal_per_100g=own.energy_kcal_per_100g,
            bone_share_pct=own.bone_share_pct,
            parts=cut_parts.get(own.copied_from),
        )
    if own.label is not None:
        return food_from_label(own.label, key=own.key, name=own.name, style=own.style or "raw")
    if own.serving is not None and own.lines:
        return supplement(
            own.lines,
            key=own.key,
            name=own.name,
            serving=own.serving,
            energy_kcal_per_100g=own.energy_kcal_per_100g,
        )
    return _bare(own)


def _bare(own: OwnFood) -> Food | None:
    """A food of which somebody wrote down the energy and perhaps some amounts, and no label."""
    if own.energy_kcal_per_100g is None:
        return None
    check_nutrients(own.nutrients_per_100g, own.name)
    found = amounts_of(own.lines, serving=own.serving, dry_matter_share=None)
    values, low, high = with_sums(
        {**found.values, **own.nutrients_per_100g}, found.low, found.high, {}
    )
    return Food(
        key=own.key,
        name=own.name,
        group="own",
        style={"treat": "dry", "wet": "cooked"}.get(own.style, own.style or "raw"),
        energy_kcal_per_100g=own.energy_kcal_per_100g,
        energy_method="label",
        values=values,
        low=low,
        high=high,
        keeping_class="cooked" if own.style in ("cooked", "wet") else None,
        source="trencher",
        locator="label",
    )


# What a register holds is JSON, so its parts are of any JSON type.
Json = Mapping[str, Any]


def own_food_from(values: Json, *, key: str) -> OwnFood:
    """Return the record of an own food from the values of its registers, as they are stored.

    Raises
    ------
    InputError
        If a part has not the shape its register declares.
    """
    try:
        return _read(values, key)
    except (TypeError, KeyError, AttributeError) as error:
        raise InputError(
            f"The food cannot be read ({error}). Write it down again.", fields=("label",)
        ) from error


def _read(values: Json, key: str) -> OwnFood:
    lines = tuple(LabelLine(**line) for line in _list(values.get("lines")))
    serving_parts = _dict(values.get("serving"))
    serving = None
    if serving_parts:
        serving = Serving(
            serving_parts["unit"], serving_parts["mass_g"], serving_parts.get("count") or 1.0
        )
    energy_kcal = _number(values.get("energy_kcal_per_100g"))
    amounts = _dict(values.get("nutrients_per_100g"))
    contents = _dict(values.get("label"))
    label = None
    if contents:
        label = Label(
            **contents,
            energy_kcal_per_100g=energy_kcal,
            nutrients_per_100g=amounts,
            lines=lines,
            serving=serving,
        )
    return OwnFood(
        key=key,
        name=str(values.get("name") or ""),
        style=str(values.get("style") or ""),
        label=label,
        energy_kcal_per_100g=energy_kcal,
        nutrients_per_100g=amounts,
        lines=lines,
        serving=serving,
        copied_from=str(values.get("copied_from") or "") or None,
        bone_share_pct=_number(values.get("bone_share_pct")),
    )


def _list(value: Any) -> list[dict[str, Any]]:
    if value is None:
        return []
    if not isinstance(value, list):
        raise TypeError("lines are not a list")
    return value


def _dict(value: Any) -> dict[str, Any]:
    if value is None:
        return {}
    if not isinstance(value, dict):
        raise TypeError("a part is not an object")
    return value


def _number(value: Any) -> float | None:
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise TypeError("a figure is not a number")
    return float(value)
