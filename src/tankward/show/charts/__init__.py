"""The bedside chart: strips over one time axis, as SVG, as a table and as a sentence."""

from .bedside import bedside, bedside_views
from .quiet import opened
from .records import Act, Chart, CountRow, Limit, Reading, Strip, Works
from .table import ChartTable, chart_table, legend

__all__ = [
    "Act",
    "Chart",
    "ChartTable",
    "CountRow",
    "Limit",
    "Reading",
    "Strip",
    "Works",
    "bedside",
    "bedside_views",
    "chart_table",
    "legend",
    "opened",
]
