"""The one place that makes sentences."""
