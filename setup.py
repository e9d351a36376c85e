"""Which folders make up the package. Everything else stands in pyproject.toml.

The published cases live beside the package, where people find them, and travel inside it in the wheel.
"""

from pathlib import Path

from setuptools import find_namespace_packages, setup

DATA = ["*.csv", "*.txt", "*.toml", "*.j2", "*.css", "*.html", "*.svg"]
PACKED = {
    "shopcalc." + ".".join(folder.parts): folder.as_posix()
    for folder in (Path("references"), Path("references/cases"))
    if folder.is_dir()
}

setup(
    packages=[*find_namespace_packages(include=["shopcalc", "shopcalc.*"]), *PACKED],
    package_dir=PACKED,
    package_data={"": DATA},
)
