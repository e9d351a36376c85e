"""What the shop buys: tube, gauges, steels, woods, and the properties of their sections.

Data stand in `data/*.csv`, each row with its source and provenance, and are read when first asked for.
"""
