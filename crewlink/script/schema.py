"""The JSON Schema of match scripts, made from the types that read them."""

from __future__ import annotations

import json

import msgspec

from crewlink.script.format import Script

HERE = "schema.json"


def schema_text() -> str:
    """The schema (JSON Schema 2020-12) as the text of `schema.json`."""
    made = msgspec.json.schema(Script)
    head = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "crewlink match script",
        "description": "A volleyball match or worked case as steps and expectations. Explained in README.md.",
    }
    return json.dumps({**head, **made}, indent=1, ensure_ascii=False) + "\n"
