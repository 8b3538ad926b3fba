"""Sheets on paper: the list of them, and how one is made from a room.

A sheet is one module here with SHEET, named in `listed.py`; its record and its typst file in `show/sheets/`.
Both faces make their commands and the page "Print" from that list.
"""
