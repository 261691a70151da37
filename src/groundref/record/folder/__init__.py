"""The record as a folder of open formats: JSON, the original recordings and tables, written and read back."""
