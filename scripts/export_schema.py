"""Writes the published schema of the export: python scripts/export_schema.py."""

from pathlib import Path

from tankward.store.carry_form import schema_text

DOCS = Path(__file__).parents[1] / "docs"


def main() -> None:
    (DOCS / "export.schema.json").write_bytes(schema_text())


if __name__ == "__main__":
    main()
