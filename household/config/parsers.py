"""Reading the bodies of requests."""

from collections.abc import Mapping
from typing import IO, Any

from rest_framework import parsers
from rest_framework.exceptions import ParseError


class JSONParser(parsers.JSONParser):
    """DRF's, except that what is nested beyond all sense is a fault of the sender, not of ours."""

    def parse(
        self,
        stream: IO[Any],
        media_type: str | None = None,
        parser_context: Mapping[str, Any] | None = None,
    ) -> Any:
        try:
            return super().parse(stream, media_type, parser_context)
        except RecursionError:
            raise ParseError("It is nested too deeply.") from None
