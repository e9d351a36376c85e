"""Pictures: a Figure without pyplot, its caption, and files that are the same each time they are written."""

from __future__ import annotations

import base64
import io
from dataclasses import dataclass, field

import matplotlib
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from shopcalc.show.palette import PAPER

FONT = 9
SMALL = 8
PNG_DPI = 110
_STABLE = {"svg.hashsalt": "shopcalc", "svg.fonttype": "path", "hatch.linewidth": 0.6}
# Width of a picture that fills a printed page between its margins, in inches.
PAGE_WIDTH = 7.1


def new_figure(width: float = PAGE_WIDTH, height: float = 3.2) -> Figure:
    figure = Figure(figsize=(width, height), dpi=PNG_DPI, facecolor=PAPER)
    FigureCanvasAgg(figure)
    return figure


def plain_axes(ax) -> None:
    """The looks shared by every picture: small type, no box on top and right."""
    ax.tick_params(labelsize=SMALL)
    ax.spines[["top", "right"]].set_visible(False)
    for label in (ax.xaxis.label, ax.yaxis.label):
        label.set_size(FONT)


def png_bytes(figure: Figure, dpi: int = PNG_DPI) -> bytes:
    out = io.BytesIO()
    with matplotlib.rc_context(_STABLE):
        figure.savefig(out, format="png", dpi=dpi, facecolor=PAPER, metadata={"Software": None})
    return out.getvalue()


def svg_text(figure: Figure) -> str:
    out = io.StringIO()
    with matplotlib.rc_context(_STABLE):
        figure.savefig(out, format="svg", facecolor=PAPER, metadata={"Date": None, "Creator": None})
    return out.getvalue()


@dataclass(frozen=True)
class Picture:
    """A drawn figure and the caption that says in words, with its numbers, what it shows."""

    figure: Figure
    caption: str
    axes: tuple = field(default=(), compare=False)

    def png(self, dpi: int = PNG_DPI) -> bytes:
        return png_bytes(self.figure, dpi)

    def svg(self) -> str:
        return svg_text(self.figure)

    def data_uri(self) -> str:
        """The SVG for the src of an <img>."""
        return "data:image/svg+xml;base64," + base64.b64encode(self.svg().encode()).decode("ascii")

    def _repr_mimebundle_(self, include=None, exclude=None) -> dict[str, str]:
        return {"image/png": base64.b64encode(self.png()).decode("ascii"), "text/plain": self.caption}

    def __repr__(self) -> str:
        return self.caption
