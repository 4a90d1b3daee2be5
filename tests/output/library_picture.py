"""A drawing file as the drawing library itself draws it: lines and words in millimetres.

What our own pictures are held against: the library reads the file's layers, linetypes, blocks and
windows without knowing what they were made from.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import TYPE_CHECKING

from ezdxf.addons.drawing.backend import BackendInterface, BkPath2d, BkPoints2d, ImageData
from ezdxf.addons.drawing.config import BackgroundPolicy, ColorPolicy, Configuration
from ezdxf.addons.drawing.frontend import UniversalFrontend
from ezdxf.addons.drawing.pipeline import BackendStage2d, ClippingStage2d, RenderPipeline2d
from ezdxf.addons.drawing.properties import BackendProperties, Properties, RenderContext
from ezdxf.addons.drawing.unified_text_renderer import UnifiedTextRenderer
from ezdxf.document import Drawing
from ezdxf.entities.dxfgfx import DXFGraphic
from ezdxf.fonts.font_face import FontFace
from ezdxf.fonts.font_measurements import FontMeasurements
from ezdxf.math import Matrix44, Vec2

from staking.output.pictures.lettering import CAP_HEIGHT, DESCENDER, X_HEIGHT, line_width
from staking.output.pictures.picture_parts import FINEST, Lettering, Stroke
from staking.plan import Point

if TYPE_CHECKING:
    from ezdxf.addons.drawing.pipeline import RenderStage2d


def library_picture(document: Drawing) -> tuple[list[Stroke], list[Lettering]]:
    """Draw the first sheet of a drawing file: its lines and words."""
    paper = next(each for each in document.layouts if each.name != "Model")
    scale = 25.4 if paper.dxf.plot_paper_units == 0 else 1.0
    pipeline = PicturePipeline(scale, (0.0, 0.0))
    settings = Configuration(
        background_policy=BackgroundPolicy.WHITE,
        color_policy=ColorPolicy.COLOR,
        max_flattening_distance=FINEST / scale,
    )
    front = UniversalFrontend(RenderContext(document), pipeline, config=settings)
    front.draw_layout(paper)
    kept = pipeline.kept
    return [each for each in kept.strokes if len(each.points) > 1], kept.words


class PicturePipeline(RenderPipeline2d):
    """Keeps what is drawn, in mm: `scale` mm for a drawing unit, `origin` the lower left corner."""

    def __init__(self, scale: float, origin: Point) -> None:
        self.kept = _Keeper(scale, origin)
        self.text_engine = _FaceMeasure()
        super().__init__(self.kept)

    def build_render_pipeline(self) -> RenderStage2d:
        """Clip, and leave dashing to who draws."""
        last = BackendStage2d(self.backend, converter=self.get_backend_properties)
        return ClippingStage2d(self.config, self.clipping_portal, next_stage=last)

    def get_backend_properties(self, properties: Properties) -> BackendProperties:
        """Give the look as the library does, and tell the keeper of the dashes, mm."""
        look = super().get_backend_properties(properties)
        dashes: tuple[float, ...] = ()
        if len(properties.linetype_pattern) > 1:
            # Patterns are in mm on paper and scaled to the model; the window scales them back.
            scale = properties.linetype_scale * self.current_vp_scale * self.kept.scale
            dashes = tuple(each * scale for each in properties.linetype_pattern)
        self.kept.dashes = dashes
        # Parts of a block on layer 0 lie where the block lies.
        return look if look.layer != "0" else look._replace(layer=self.kept.outer)

    def draw_text(
        self,
        text: str,
        transform: Matrix44,
        properties: Properties,
        cap_height: float,
        dxftype: str = "TEXT",
    ) -> None:
        """Keep text as text; words that begin outside the window are left out whole."""
        del dxftype
        if not text.strip():
            return
        start = Vec2(transform.transform((0, 0)))
        if self.clipping_portal.is_active and self.clipping_portal.clip_point(start) is None:
            return
        matrix = self.clipping_portal.transform_matrix(transform.copy())
        ends = [Vec2(matrix.transform(each)) for each in ((0, 0), (1, 0))]
        look = self.get_backend_properties(properties)
        self.kept.add_words(text, ends[0], ends[1] - ends[0], cap_height, look)


class _FaceMeasure(UnifiedTextRenderer):
    """Measures text in the sheet's face."""

    def get_font_measurements(
        self, font_face: FontFace, cap_height: float = 1.0
    ) -> FontMeasurements:
        del font_face
        size = cap_height / CAP_HEIGHT
        return FontMeasurements(0.0, cap_height, X_HEIGHT * size, DESCENDER * size)

    def get_text_line_width(self, text: str, font_face: FontFace, cap_height: float = 1.0) -> float:
        del font_face
        return line_width(text, cap_height)


class _Keeper(BackendInterface):
    """Keeps what it is told to draw."""

    def __init__(self, scale: float, origin: Point) -> None:
        self.scale = scale
        self._origin = origin
        self.outer = "0"
        self.dashes: tuple[float, ...] = ()
        self.strokes: list[Stroke] = []
        self.words: list[Lettering] = []

    def _at(self, point: Vec2) -> Point:
        return (
            (point.x - self._origin[0]) * self.scale,
            (point.y - self._origin[1]) * self.scale,
        )

    def add_words(
        self, text: str, start: Vec2, along: Vec2, cap_height: float, look: BackendProperties
    ) -> None:
        x, y = self._at(start)
        height = cap_height * along.magnitude * self.scale
        self.words.append(
            Lettering(
                layer=look.layer,
                colour=look.color[:7],
                text=text,
                x=x,
                y=y,
                height=height,
                turn=math.atan2(along.y, along.x),
                width=line_width(text, height),
            )
        )

    def _stroke(self, points: Iterable[Vec2], look: BackendProperties, closed: bool) -> None:
        places = tuple(map(self._at, points))
        if closed and len(places) > 2 and math.dist(places[0], places[-1]) < FINEST / 10:
            places = places[:-1]
        self.strokes.append(
            Stroke(
                layer=look.layer,
                colour=look.color[:7],
                width=look.lineweight,
                dashes=self.dashes,
                points=places,
                closed=closed,
            )
        )

    def configure(self, config: Configuration) -> None:
        """Take the settings; nothing here depends on them."""

    def enter_entity(self, entity: DXFGraphic, properties: Properties) -> None:
        """Begin an object, itself or a part of one."""
        if entity.dxf.layer != "0":
            self.outer = entity.dxf.layer

    def exit_entity(self, entity: DXFGraphic) -> None:
        """End an object."""

    def set_background(self, color: str) -> None:
        """Paper is white."""

    def draw_point(self, pos: Vec2, properties: BackendProperties) -> None:
        """Points to snap to are not printed: their markers are."""

    def draw_line(self, start: Vec2, end: Vec2, properties: BackendProperties) -> None:
        self._stroke((start, end), properties, closed=False)

    def draw_solid_lines(
        self, lines: Iterable[tuple[Vec2, Vec2]], properties: BackendProperties
    ) -> None:
        for line in lines:
            self._stroke(line, properties, closed=False)

    def draw_path(self, path: BkPath2d, properties: BackendProperties) -> None:
        points = list(path.flattening(FINEST / self.scale, segments=8))
        closed = len(points) > 2 and points[0].isclose(points[-1], abs_tol=1e-9)
        self._stroke(points, properties, closed)

    def draw_filled_paths(self, paths: Iterable[BkPath2d], properties: BackendProperties) -> None:
        raise NotImplementedError("the plan fills nothing")

    def draw_filled_polygon(self, points: BkPoints2d, properties: BackendProperties) -> None:
        raise NotImplementedError("the plan fills nothing")

    def draw_image(self, image_data: ImageData, properties: BackendProperties) -> None:
        raise NotImplementedError("drawings hold no images")

    def clear(self) -> None:
        """Nothing is to be forgotten."""

    def finalize(self) -> None:
        """Everything is kept already."""
