"""Kinds of entry, by family. A kind is one record; form, table, export line and command follow from it."""
