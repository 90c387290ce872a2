"""The layers of the text block for its drawing.

In: SiteContext, BookWorking. Out: BlockSpec. Never: computing a thickness (workings/book.py).
"""

from __future__ import annotations

from doublure.render.draw.block import BlockLayer, BlockSpec
from doublure.render.site.context import SiteContext
from doublure.workings.book import BookWorking


def block_spec(ctx: SiteContext, book: BookWorking) -> BlockSpec:
    """Return the layers from front to back: gatherings, and inserts behind the gathering in which they lie."""
    layers = []
    lying: dict[int, list[BlockLayer]] = {}
    for layer in book.layers:
        if layer.insert:
            one = ctx.inserts[layer.insert]
            lying.setdefault(layer.gathering, []).append(
                BlockLayer(one.note.title, layer.thickness_mm, standing=one.standing.overall.standing.value)
            )
    for layer in book.layers:
        if not layer.insert:
            layers.append(BlockLayer(f"Gathering {layer.gathering}", layer.thickness_mm, sheets=layer.sheets))
            layers.extend(lying.get(layer.gathering, ()))
    return BlockSpec(tuple(layers))
