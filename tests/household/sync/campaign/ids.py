"""Ids in the order of asking, the same in every run of a trace."""

from uuid import UUID

START_MS = 1_795_608_000_000  # 2026-11-25T12:00:00Z


class Ids:
    """Version 7 UUIDs (RFC 9562, section 5.7) that count up."""

    def __init__(self) -> None:
        self._last = 0

    def new(self) -> str:
        self._last += 1
        return self.of(self._last)

    @staticmethod
    def of(number: int) -> str:
        return str(UUID(int=START_MS << 80 | 0x7 << 76 | 0x2 << 62 | number))
