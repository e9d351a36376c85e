"""Sizes welded steel table bases and the wood tops that sit on them."""

__version__ = "0.1.0"
