"""Controls in trade words: move one, and the answer and its picture change.

A control asks a plain function for its answer, `answer(**settings) -> (text, picture data)`, and only shows
it. Widgets are built once; a change sets the `.value` of an HTML text and of an Image, drawn on one figure
that is kept. `still` shows the answer for a fixed setting as rounded text and a picture, without any widget.

    settings   what `answer` receives by name: the words of a list, or the quantity of a slider
    text       lines of plain text, rounded; the first is the answer in a sentence
    picture data   arguments of the picture's `draw` (see pictures.py), or None where there is nothing to draw
An `InputError` of `answer` is shown in the place of the answer, with an empty picture.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping, Sequence
from html import escape

import ipywidgets
import numpy as np
import pint
from matplotlib.backends.backend_agg import RendererAgg
from matplotlib.text import Text
from PIL import Image as PillowImage

from shopcalc.errors import InputError
from shopcalc.show.canvas import Picture, new_figure
from shopcalc.show.pictures import Curve, TippingMap, UsedBars
from shopcalc.show.values import printed

SCREEN_DPI = 96
WORDS_WIDTH = "160px"
CONTROL_WIDTH = "520px"

Answer = Callable[..., tuple[str, Mapping | None]]


class Choice:
    """A setting from a list of words (a drop-down)."""

    def __init__(self, name: str, words: str, options: Sequence[str], start: str | None = None):
        self.name = name
        self.widget = ipywidgets.Dropdown(
            options=list(options),
            value=start or next(iter(options)),
            description=words,
            style={"description_width": WORDS_WIDTH},
            layout={"width": CONTROL_WIDTH},
        )

    @property
    def value(self) -> str:
        return self.widget.value

    def settled(self, value, options: Sequence[str] | None = None) -> str:
        """A fixed setting, where it is one of the options (those on offer unless others are given)."""
        options = list(self.widget.options if options is None else options)
        if value not in options:
            raise InputError(field=self.name, value=value, need="one of " + ", ".join(options),
                             example=f'{self.name}="{options[0]}"')
        return value

    def offer(self, options: Sequence[str]) -> None:
        """Put other options up; what was chosen stays where it still can."""
        kept = self.value if self.value in options else options[0]
        self.widget.options = list(options)
        self.widget.value = kept

    def label(self, value) -> str:
        return value


class Slide:
    """A setting from a row of quantities (a slider; arrow keys move it)."""

    def __init__(self, name: str, words: str, values: pint.Quantity, system: str, role: str = "",
                 start: pint.Quantity | None = None):
        self.name, self.system, self.role = name, system, role
        rows = list(values)
        # a start between the steps becomes a step
        if start is not None and printed(start, system, role) not in [printed(v, system, role) for v in rows]:
            rows = sorted([*rows, start])
        self._values = {printed(v, system, role): v for v in rows}
        words_of = list(self._values)
        first = words_of[len(words_of) // 2] if start is None else printed(start, system, role)
        self.widget = ipywidgets.SelectionSlider(
            options=words_of, value=first, description=words, continuous_update=False,
            style={"description_width": WORDS_WIDTH}, layout={"width": CONTROL_WIDTH})

    @property
    def value(self) -> pint.Quantity:
        return self._values[self.widget.value]

    def settled(self, value) -> pint.Quantity:
        """A fixed setting: any quantity of the right dimension, also between the steps of the slider."""
        words, like = next(iter(self._values.items()))
        if not isinstance(value, pint.Quantity) or value.dimensionality != like.dimensionality:
            raise InputError(field=self.name, value=value, need=f"a quantity like {words}",
                             example=f'{self.name}=Q({like.magnitude:g}, "{like.units:~}")')
        return value

    def label(self, value) -> str:
        return printed(value, self.system, self.role)


class Still:
    """The answer for one fixed setting: text with rounded numbers, then the picture. Shown as two outputs, so
    that a stored notebook can be compared by its text."""

    def __init__(self, heading: str, text: str, picture: Picture | None):
        self.heading, self.text, self.picture = heading, text, picture

    def __repr__(self) -> str:
        return f"{self.heading}\n{self.text}"

    def _repr_html_(self) -> str:
        return _html(self.text, self.heading)

    def _ipython_display_(self) -> None:
        from IPython.display import display

        display({"text/plain": repr(self), "text/html": self._repr_html_()}, raw=True)
        if self.picture is not None:
            display(self.picture)


def _html(text: str, heading: str = "") -> str:
    first, *rest = text.splitlines() or [""]
    head = f"<p>{escape(heading)}</p>" if heading else ""
    lines = "".join(f"<br>{escape(line)}" for line in rest)
    return f'{head}<p role="status"><strong>{escape(first)}</strong>{lines}</p>'


class Control:
    """Settings on the left of an equals sign, answer and picture under it. Subclasses say which."""

    name = "control"

    def __init__(self, answer: Answer, settings: Sequence[Choice | Slide], system: str):
        self.answer, self.settings, self.system = answer, {s.name: s for s in settings}, system
        self._asleep = False
        self.text = ipywidgets.HTML()
        self._drawing = self._new_drawing()
        wide = self._drawing.ax.figure.bbox.width
        # at its own size: stretched over the page it would blur
        self.picture = ipywidgets.Image(format="png", layout={"max_width": "100%", "width": f"{wide:.0f}px"})
        self._screen = Screen(self._drawing.ax.figure, self._drawing)
        for setting in settings:
            setting.widget.observe(self._changed, names="value")
            setting.widget.add_class(f"{self.name}-{setting.name}")
        self.text.add_class(f"{self.name}-answer")
        self.picture.add_class(f"{self.name}-picture")
        self.box = ipywidgets.VBox([*(s.widget for s in settings), self.text, self.picture])
        self.box.add_class(self.name)
        self.refresh()

    # what a subclass gives
    def _new_drawing(self):
        raise NotImplementedError

    def _now(self) -> dict:
        return {name: setting.value for name, setting in self.settings.items()}

    def _settled(self, chosen: dict) -> dict:
        return {name: self.settings[name].settled(value) for name, value in chosen.items()}

    def _changed(self, change) -> None:
        if not self._asleep:
            self.refresh()

    def refresh(self) -> None:
        """Ask again for the settings as they stand, and show."""
        text, data = self._ask(self._now())
        self.text.value = _html(text)
        self.picture.value = self._draw(data)

    def _ask(self, settings: dict) -> tuple[str, Mapping | None]:
        try:
            return self.answer(**settings)
        except InputError as error:
            return f"No answer for this setting.\n{error}", None

    def _draw(self, data: Mapping | None) -> bytes:
        if data is None:
            return _empty_png()
        self._drawing.draw(**data)
        return self._screen.png()

    def still(self, **settings) -> Still:
        """The answer for fixed settings (those left out stand as the control does), without a widget."""
        stray = [name for name in settings if name not in self.settings]
        if stray:
            raise InputError(field=f"still: {stray[0]}", value=settings[stray[0]],
                             need="one of the settings " + ", ".join(self.settings))
        chosen = self._settled({**self._now(), **settings})
        heading = ", ".join(
            f"{s.widget.description}: {s.label(chosen[name])}" for name, s in self.settings.items()
        )
        text, data = self._ask(chosen)
        picture = None
        if data is not None:
            drawing = self._new_drawing()
            caption = drawing.draw(**data)
            picture = Picture(drawing.ax.figure, caption)
        return Still(heading, text, picture)

    def _repr_mimebundle_(self, include=None, exclude=None) -> dict:
        bundle = dict(self.box._repr_mimebundle_())
        # the widget's own text holds picture bytes and differs between computers
        bundle["text/plain"] = (
            f"A control ({self.name}). Run > Run All Cells makes it live; a still copy stands below."
        )
        return bundle


class Screen:
    """PNG of a kept figure, fast rather than small: what does not move (axes, ticks) is painted once."""

    def __init__(self, figure, drawing):
        self.figure, self.drawing = figure, drawing
        self._background, self._frame = None, None
        self._letters: dict[tuple, tuple[np.ndarray, np.ndarray]] = {}

    def png(self) -> bytes:
        canvas, moving = self.figure.canvas, self.drawing.moving()
        for artist in moving:
            artist.set_animated(True)
        if self._background is None or self._frame != self.drawing.frame():
            canvas.draw()
            self._background, self._frame = canvas.copy_from_bbox(self.figure.bbox), self.drawing.frame()
        canvas.restore_region(self._background)
        for artist in sorted(moving, key=lambda a: a.get_zorder()):
            if type(artist) is Text:
                self._stamp(artist)
            else:
                artist.axes.draw_artist(artist)
        out = io.BytesIO()
        PillowImage.fromarray(np.asarray(canvas.buffer_rgba())[:, :, :3]).save(out, "png", compress_level=1)
        return out.getvalue()

    def _stamp(self, text: Text) -> None:
        """Put words in their place. Painting letters takes longest of all, so each word is painted once."""
        if not text.get_text() or not text.get_visible():
            return
        looks = (text.get_text(), text.get_ha(), text.get_va(), text.get_fontsize(), text.get_color())
        place = text.get_transform().transform(text.get_position())
        size = np.asarray(self.figure.canvas.buffer_rgba())
        spot = np.array([len(size) - place[1], place[0]]).round().astype(int)  # row, column
        if looks not in self._letters:
            renderer = RendererAgg(size.shape[1], size.shape[0], self.figure.dpi)
            text.draw(renderer)
            alone = np.asarray(renderer.buffer_rgba())
            rows, columns = np.nonzero(alone[:, :, 3])
            if not rows.size:
                return
            first = np.array([rows.min(), columns.min()])
            self._letters[looks] = alone[first[0]:rows.max() + 1, first[1]:columns.max() + 1].copy(), first - spot
        word, offset = self._letters[looks]
        (top, left), (tall, wide) = spot + offset, word.shape[:2]
        if top < 0 or left < 0 or top + tall > len(size) or left + wide > size.shape[1]:
            text.axes.draw_artist(text)  # reaches over the rim
            return
        under = size[top:top + tall, left:left + wide]
        share = word[:, :, 3:] / 255
        under[:, :, :3] = np.round(word[:, :, :3] * share + under[:, :, :3] * (1 - share))


def _empty_png() -> bytes:
    out = io.BytesIO()
    PillowImage.new("RGB", (8, 8), "white").save(out, "png")
    return out.getvalue()


def _axes(width: float, height: float, left: float, bottom: float, right: float = 0.98, top: float = 0.9):
    """One pair of axes in a fixed place of a figure: nothing is laid out again on a change."""
    figure = new_figure(width, height)
    figure.set_dpi(SCREEN_DPI)
    return figure.add_axes((left, bottom, right - left, top - bottom))


class TubeGauge(Control):
    """Which tube, which gauge? Settings product, size, wall (words), span, load (quantities).

    answer(product, size, wall, span, load) -> (text, {"names", "ratios", "verdicts"}), see UsedBars.draw
    stock  product -> size -> walls, all in words
    """

    name = "tube-gauge"

    def __init__(
        self,
        answer: Answer,
        *,
        stock: Mapping[str, Mapping[str, Sequence[str]]],
        spans: pint.Quantity,
        loads: pint.Quantity,
        system: str = "inch",
        start: Mapping | None = None,
    ):
        self.stock, start = stock, dict(start or {})
        product = start.get("product") or next(iter(stock))
        size = start.get("size") or next(iter(stock[product]))
        super().__init__(answer, [
            Choice("product", "Tube product", list(stock), product),
            Choice("size", "Outside size", list(stock[product]), size),
            Choice("wall", "Wall", list(stock[product][size]), start.get("wall")),
            Slide("span", "Between supports", spans, system, "size", start.get("span")),
            Slide("load", "Load in the middle", loads, system, "", start.get("load"))], system)

    def _new_drawing(self):
        return UsedBars(_axes(6.6, 1.9, 0.14, 0.32, top=0.97))

    def _changed(self, change) -> None:
        """A product offers its own sizes, a size its own walls; what can stay, stays."""
        if self._asleep:
            return
        self._asleep = True
        try:
            product, size = self.settings["product"], self.settings["size"]
            if change["owner"] is product.widget:
                size.offer(list(self.stock[product.value]))
            if change["owner"] in (product.widget, size.widget):
                self.settings["wall"].offer(list(self.stock[product.value][size.value]))
        finally:
            self._asleep = False
        self.refresh()

    def _settled(self, chosen: dict) -> dict:
        """A size belongs to its product and a wall to its size, whatever the control offers just now."""
        parts = self.settings
        sizes = self.stock[parts["product"].settled(chosen["product"])]
        walls = sizes[parts["size"].settled(chosen["size"], list(sizes))]
        parts["wall"].settled(chosen["wall"], list(walls))
        return {
            **chosen,
            "span": parts["span"].settled(chosen["span"]),
            "load": parts["load"].settled(chosen["load"]),
        }


class StretcherSag(Control):
    """How far does it sag? Settings tube, ends (words), span, load (quantities).

    answer(tube, ends, span, load) -> (text, {"stations", "values", "supports", "limit"}), see Curve.draw
    """

    name = "stretcher-sag"

    def __init__(self, answer: Answer, *, tubes: Sequence[str], ends: Sequence[str], spans: pint.Quantity,
                 loads: pint.Quantity, system: str = "inch", start: Mapping | None = None):
        start, self.longest = dict(start or {}), spans[-1]
        super().__init__(answer, [
            Choice("tube", "Tube", list(tubes), start.get("tube")),
            Choice("ends", "Ends", list(ends), start.get("ends")),
            Slide("span", "Between supports", spans, system, "size", start.get("span")),
            Slide("load", "Load", loads, system, "", start.get("load"))], system)

    def _new_drawing(self):
        ax = _axes(6.6, 2.4, 0.11, 0.22, top=0.97)
        return Curve(ax, word="sag", role="sag", downward=True, system=self.system, reach=self.longest)


class OverhangTipping(Control):
    """Does it go over, does a foot lift? Settings overhang, inset, load (quantities); on wish mass, push and the event.

    answer(overhang, inset, load, ...) -> (text, {"x", "y", "load", "feet", "weakest", "needed", "outline"}), see
    TippingMap.draw
    largest  (half length, half width) of the largest top, as quantities: the map keeps this scale
    """

    name = "overhang-tipping"

    def __init__(
        self,
        answer: Answer,
        *,
        overhangs: pint.Quantity,
        insets: pint.Quantity,
        loads: pint.Quantity,
        largest: tuple[pint.Quantity, pint.Quantity],
        masses: pint.Quantity | None = None,
        pushes: pint.Quantity | None = None,
        events: Sequence[str] = (),
        levels: Sequence[float] | None = None,
        system: str = "inch",
        start: Mapping | None = None,
    ):
        start = dict(start or {})
        self.largest = tuple(float(q.to("inch" if system == "inch" else "mm").magnitude) for q in largest)
        self.levels = levels
        settings = [Slide("overhang", "Overhang at the ends", overhangs, system, "size", start.get("overhang")),
                    Slide("inset", "Feet in from the side", insets, system, "size", start.get("inset")),
                    Slide("load", "Load on the top", loads, system, "", start.get("load"))]
        if masses is not None:
            settings.append(Slide("mass", "Mass of the top", masses, system, "", start.get("mass")))
        if pushes is not None:
            settings.append(Slide("push", "Push outward at the top", pushes, system, "", start.get("push")))
        if events:
            settings.append(Choice("event", "Map", events, start.get("event")))
        super().__init__(answer, settings, system)

    def _new_drawing(self):
        tall = 5.0 * self.largest[1] / self.largest[0] + 0.75
        ax = _axes(6.6, tall, 0.09, 0.58 / tall, right=0.86, top=1 - 0.12 / tall)
        return TippingMap(ax, levels=self.levels, system=self.system, across=self.largest)
