"""The published tables: load them, or take them as JSON for the phone."""

from nutrition.export import as_json, as_json_text, version
from nutrition.loading import Tables, load, read_tables

__all__ = ["Tables", "as_json", "as_json_text", "load", "read_tables", "version"]
