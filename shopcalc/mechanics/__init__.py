"""Mechanics: numbers in, numbers out. Knows no tables, no stock and no codes."""
