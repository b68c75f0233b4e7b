"""Typed reads of batches, for scripts and tests; the phone reads its own records."""

from typing import Any
from uuid import UUID

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.exceptions import NotFound
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from household.accounts.models import Member
from household.accounts.queries import member_for
from household.accounts.serializers import ApiErrorSerializer
from household.dogs.api import EDITION, ERRORS, edition_asked
from household.dogs.queries import today_of, unit_of
from household.prep import queries
from household.prep.models import Bag, Batch, WeighIn


class WeighInSerializer(serializers.ModelSerializer[WeighIn]):
    class Meta:
        model = WeighIn
        fields = ["rid", "food", "mass_g", "lot", "at", "made_by"]


class BagSerializer(serializers.ModelSerializer[Bag]):
    stock_g = serializers.IntegerField(help_text="What is left of the bags together")

    class Meta:
        model = Bag
        fields = [
            "rid",
            "mass_g",
            "count",
            "place",
            "place_name",
            "shelf",
            "form",
            "thickness_mm",
            "packed_at",
            "use_by",
            "note",
            "stock_g",
        ]


class PartSerializer(serializers.Serializer[Any]):
    food = serializers.CharField()
    mass_g = serializers.FloatField()


class BatchSerializer(serializers.ModelSerializer[Batch]):
    """A batch; ``parts`` are its weigh-ins, or before them its plan, as ``basis`` says."""

    dogs = serializers.ListField(child=serializers.UUIDField(), allow_null=True)
    basis = serializers.ChoiceField(choices=["weighed", "planned", "unknown"])
    parts = PartSerializer(many=True)
    put_in_g = serializers.FloatField()
    bags = BagSerializer(many=True)

    class Meta:
        model = Batch
        fields = [
            "rid",
            "number",
            "name",
            "method",
            "plate_mm",
            "planned_for",
            "days",
            "dogs",
            "stage",
            "yield_g",
            "prepared_at",
            "note",
            "basis",
            "parts",
            "put_in_g",
            "bags",
        ]


class BatchDetailSerializer(BatchSerializer):
    plan = PartSerializer(many=True, allow_null=True)
    weigh_ins = WeighInSerializer(many=True)

    class Meta(BatchSerializer.Meta):
        fields = [*BatchSerializer.Meta.fields, "plan", "weigh_ins"]


class JudgementSerializer(serializers.Serializer[Any]):
    """One nutrient per 1000 kcal ME, from known to best: short only if even the best case is
    short, met only if all of the range lies within the limits."""

    nutrient = serializers.CharField()
    unit = serializers.SerializerMethodField()
    known = serializers.FloatField(allow_null=True)
    best = serializers.FloatField(allow_null=True)
    minimum = serializers.FloatField(allow_null=True)
    maximum = serializers.FloatField(allow_null=True)
    word = serializers.CharField(help_text="met, short, over or unknown")
    may_fall_short = serializers.BooleanField(help_text="Unknown, and may be under the minimum")
    may_exceed = serializers.BooleanField(help_text="Unknown, and may be over the maximum")
    unknown_energy_share = serializers.FloatField()
    basis = serializers.CharField()

    def get_unit(self, judgement: Any) -> str:
        return unit_of(judgement.nutrient)


class NotComparedSerializer(serializers.Serializer[Any]):
    """A nutrient that is left out, since the standard states another chemical form of it."""

    nutrient = serializers.CharField()
    unit = serializers.SerializerMethodField()
    known = serializers.FloatField(allow_null=True)
    best = serializers.FloatField(allow_null=True)
    stated_as = serializers.CharField(source="form.stated_as")
    counted_as = serializers.CharField(source="form.counted_as")
    reason = serializers.CharField(source="form.note")

    def get_unit(self, left_out: Any) -> str:
        return unit_of(left_out.nutrient)


class RatioJudgementSerializer(serializers.Serializer[Any]):
    """A ratio by mass, g/g; the word is null where no limit is published."""

    key = serializers.CharField()
    known = serializers.FloatField(allow_null=True)
    lowest = serializers.FloatField(allow_null=True)
    highest = serializers.FloatField(allow_null=True)
    minimum = serializers.FloatField(allow_null=True)
    maximum = serializers.FloatField(allow_null=True)
    word = serializers.CharField(allow_null=True)
    limit_source = serializers.CharField(source="source")


class ExcessSerializer(serializers.Serializer[Any]):
    """A nutrient against the upper limit of the edition named, per 1000 kcal ME."""

    nutrient = serializers.CharField()
    unit = serializers.SerializerMethodField()
    least = serializers.FloatField(allow_null=True)
    most = serializers.FloatField(allow_null=True)
    limit = serializers.FloatField()
    word = serializers.CharField(help_text="over, may be over, within or unknown")
    edition = serializers.CharField()
    limit_source = serializers.CharField(source="source")
    locator = serializers.CharField()
    verified = serializers.CharField()

    def get_unit(self, excess: Any) -> str:
        return unit_of(excess.nutrient)


class StageJudgementSerializer(serializers.Serializer[Any]):
    edition = serializers.CharField(source="targets.edition")
    edition_name = serializers.CharField(source="targets.name")
    stage = serializers.CharField(source="targets.stage")
    dogs = serializers.ListField(child=serializers.UUIDField())
    judgements = JudgementSerializer(many=True)
    not_compared = NotComparedSerializer(many=True)
    ratios = RatioJudgementSerializer(many=True)
    excesses = ExcessSerializer(many=True)


class BatchAdequacySerializer(serializers.Serializer[Any]):
    basis = serializers.CharField(source="content.basis")
    mass_g = serializers.FloatField(source="totals.mass_g")
    energy_kcal = serializers.FloatField(source="totals.energy_kcal")
    unresolved_g = serializers.FloatField(help_text="Mass of unknown composition")
    stages = StageJudgementSerializer(many=True)


class BatchesView(APIView):
    @extend_schema(
        responses={200: BatchSerializer(many=True), **ERRORS}, operation_id="batches_list"
    )
    def get(self, request: Request, household_id: UUID) -> Response:
        member_for(request.user, household_id)
        batches = queries.batches_now(household_id, list(queries.batches_of(household_id)))
        return Response(BatchSerializer([_flat(each) for each in batches], many=True).data)


class BatchView(APIView):
    @extend_schema(responses={200: BatchDetailSerializer, **ERRORS}, operation_id="batches_one")
    def get(self, request: Request, household_id: UUID, rid: UUID) -> Response:
        _, batch = _member_and_batch(request, household_id, rid)
        (now,) = queries.batches_now(household_id, [batch])
        return Response(BatchDetailSerializer(_flat(now)).data)


class BatchAdequacyView(APIView):
    @extend_schema(
        parameters=[EDITION],
        responses={200: BatchAdequacySerializer, 400: ApiErrorSerializer, **ERRORS},
        operation_id="batches_adequacy",
    )
    def get(self, request: Request, household_id: UUID, rid: UUID) -> Response:
        member, batch = _member_and_batch(request, household_id, rid)
        on = batch.planned_for or today_of(member.household, timezone.now())
        found = queries.adequacy(
            household_id, batch, on=on, edition=edition_asked(request, household_id)
        )
        return Response(BatchAdequacySerializer(found).data)


def _member_and_batch(request: Request, household_id: UUID, rid: UUID) -> tuple[Member, Batch]:
    member = member_for(request.user, household_id)
    batch = queries.batch(household_id, rid)
    if batch is None:
        raise NotFound(f"The household has no batch {rid}.")
    return member, batch


def _flat(now: queries.BatchNow) -> Any:
    """The batch with what its serializer shows beside its columns."""
    batch: Any = now.batch
    batch.basis, batch.put_in_g = now.content.basis, now.content.put_in_g
    batch.parts = [{"food": food, "mass_g": mass_g} for food, mass_g in now.content.parts]
    shown = {bag.rid: stock for bag, stock in now.bags}
    bags: list[Any] = [bag for bag, _ in now.bags]
    for bag in bags:
        bag.stock_g = shown[bag.rid].mass_g
    return {
        **{name: getattr(batch, name) for name in BatchSerializer.Meta.fields if name != "bags"},
        "plan": batch.plan,
        "weigh_ins": now.weigh_ins,
        "bags": bags,
    }
