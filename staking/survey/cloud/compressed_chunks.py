"""The compressed points of a LAZ file, held against the file before they are taken apart.

LAZ points stand in chunks, each of which says how long its parts are; a table behind them says
where each begins. The library that takes them apart reserves memory by these numbers, so each of
them is compared with what the file holds first.

References
----------
M. Isenburg, LASzip: lossless compression of LiDAR data, Photogrammetric Engineering and Remote
Sensing 79(2), 2013, and the open specification of the record, the chunk table and the layers that
the LGPL and Apache-2.0 implementations share.
"""

from __future__ import annotations

import struct
from collections.abc import Sequence
from typing import BinaryIO

from staking.frozen import frozen
from staking.survey.cloud.las_header import CloudHead

_RECORD = struct.Struct("<HHBBHIIqqH")
_ITEM = struct.Struct("<HHH")

_POINTWISE, _CHUNKED, _LAYERED = 1, 2, 3
_VARIABLE = 0xFFFFFFFF

_BYTES_OLD, _BYTES_NEW = 0, 14
_ITEMS = {
    0: (6,), 1: (6, 7), 2: (6, 8), 3: (6, 7, 8), 4: (6, 7, 9), 5: (6, 7, 8, 9),
    6: (10,), 7: (10, 11), 8: (10, 12), 9: (10, 13), 10: (10, 12, 13),
}  # fmt: skip
"""What a point is made of, by its format: numbers of the parts, producers' own bytes left out."""

_SIZES = {6: 20, 7: 8, 8: 6, 9: 29, 10: 30, 11: 6, 12: 8, 13: 29}
"""Bytes of each part."""

_VERSIONS = {6: (1, 2), 7: (1, 2), 8: (1, 2), 9: (1, 2), 0: (1, 2), 10: (3, 4), 11: (3, 4),
             12: (3, 4), 13: (3, 4), 14: (3, 4)}  # fmt: skip

_LAYERS = {10: 9, 11: 1, 12: 2, 13: 1}
"""How many layers each part of a layered point has; each byte of a producer is one."""

MOST_CHUNK_BYTES = 250_000_000
"""A chunk that takes more, compressed, is not read: usual ones take some 300,000 bytes."""

TOGETHER = 250_000
"""Chunks of more points than this are taken apart one after the other, in little memory."""


@frozen
class Compression:
    """How the points of a LAZ file are compressed.

    Parameters
    ----------
    is_layered
        Whether each chunk is made of layers.
    chunk_points
        Points of a chunk, of all but the last; None where each has its own number.
    items
        Number and bytes of each part of a point.
    """

    is_layered: bool
    chunk_points: int | None
    items: tuple[tuple[int, int], ...]

    @property
    def layers(self) -> int:
        """How many layers a chunk has."""
        return sum(size if kind == _BYTES_NEW else _LAYERS[kind] for kind, size in self.items)


def check_compressed(stream: BinaryIO, head: CloudHead) -> bool:
    """Hold the compressed points of a file against its size.

    Parameters
    ----------
    stream
        The file.
    head
        Its head.

    Returns
    -------
    bool
        Whether several chunks may be taken apart at once.

    Notes
    -----
    `staking.errors.InputError` comes where the table of chunks, or a chunk, says more than the
    file holds, or the points are compressed in a way that is not read.
    """
    compression = _compression(head)
    table = _table_place(stream, head)
    chunks = _chunks(stream, head, compression, table)
    counts = _point_counts(head, compression, chunks)
    if compression.is_layered:
        _check_layers(stream, head, compression, [bytes_ for _, bytes_ in chunks], counts)
    # Chunks of one length are taken to be full, the last one too, as long as they are unpacked.
    return max(compression.chunk_points or 0, *counts) <= TOGETHER


def _compression(head: CloudHead) -> Compression:
    """Read the record of the compression, and hold it against the points' format."""
    data = head.compression
    if data is None or len(data) < _RECORD.size:
        raise head.fault("the points are compressed, and nothing says how")
    kind, coder, _, _, _, _, chunk, _, _, count = _RECORD.unpack_from(data)
    items = list(_ITEM.iter_unpack(data[_RECORD.size : _RECORD.size + count * _ITEM.size]))
    wanted = list(_ITEMS[head.point_format])
    own = head.point_size - sum(_SIZES[each] for each in wanted)
    if own > 0:
        wanted.append(_BYTES_NEW if head.point_format >= 6 else _BYTES_OLD)
    given = [each for each, _, _ in items]
    sound = (
        given == wanted
        and coder == 0
        and all(
            size == _SIZES.get(each, own) and version in _VERSIONS[each]
            for each, size, version in items
        )
        and kind in ((_LAYERED,) if head.point_format >= 6 else (_POINTWISE, _CHUNKED))
        and (chunk > 0 or kind == _POINTWISE)
    )
    if not sound:
        raise head.fault(
            f"the points are compressed in a way that does not go with format {head.point_format}",
            "write it out anew as LAZ, or as LAS",
        )
    if kind == _POINTWISE:
        raise head.fault(
            "the points are compressed in one piece, as files of before 2011 are",
            "write it out anew as LAZ, or as LAS",
        )
    return Compression(
        is_layered=kind == _LAYERED,
        chunk_points=None if chunk == _VARIABLE else chunk,
        items=tuple((each, size) for each, size, _ in items),
    )


def _table_place(stream: BinaryIO, head: CloudHead) -> int:
    """Find where the table of chunks begins."""
    stream.seek(head.first_point)
    start = stream.read(8)
    if len(start) < 8:
        raise head.fault("the file ends where the points begin")
    (place,) = struct.unpack("<q", start)
    if place <= head.first_point:
        # A writer that could not go back left it at the very end.
        stream.seek(head.size - 8)
        (place,) = struct.unpack("<q", stream.read(8))
    if not head.first_point + 8 < place <= head.size - 8:
        raise head.fault("the file ends before the table of its compressed points")
    return int(place)


def _chunks(
    stream: BinaryIO, head: CloudHead, compression: Compression, table: int
) -> Sequence[tuple[int, int]]:
    """Read the table: points (of no meaning for chunks of one length) and bytes of each chunk."""
    from lazrs import LazVlr, read_chunk_table

    stream.seek(table)
    version, number = struct.unpack("<II", stream.read(8))
    data = table - head.first_point - 8
    if compression.chunk_points is None:
        fits = 0 < number <= head.count
    else:
        fits = number == -(-head.count // compression.chunk_points)
    # Each chunk begins with one point as it is.
    if version != 0 or not fits or number * head.point_size > data:
        raise head.fault(
            f"the head says that there are {head.count:,} points, and the table of chunks speaks "
            f"of {number:,} chunks in {data:,} bytes"
        )
    stream.seek(head.first_point)
    try:
        chunks: Sequence[tuple[int, int]] = read_chunk_table(stream, LazVlr(head.compression))
    except Exception as fault:
        raise head.fault("the table of the compressed points cannot be read") from fault
    lengths = [length for _, length in chunks]
    if (
        len(chunks) != number
        or min(lengths) < head.point_size
        or max(lengths) > MOST_CHUNK_BYTES
        or sum(lengths) != data
    ):
        raise head.fault("the table of the compressed points does not go with their bytes")
    return chunks


def _point_counts(
    head: CloudHead, compression: Compression, chunks: Sequence[tuple[int, int]]
) -> list[int]:
    """Give the points of each chunk."""
    if compression.chunk_points is None:
        counts = [count for count, _ in chunks]
        if min(counts) < 1 or sum(counts) != head.count:
            raise head.fault(
                f"the head says that there are {head.count:,} points, and its chunks hold "
                f"{sum(counts):,}"
            )
        return counts
    full = compression.chunk_points
    return [full] * (len(chunks) - 1) + [head.count - full * (len(chunks) - 1)]


def _check_layers(
    stream: BinaryIO,
    head: CloudHead,
    compression: Compression,
    lengths: Sequence[int],
    counts: Sequence[int],
) -> None:
    """Refuse a chunk whose layers are longer than it is, or that holds other points than said."""
    layers = struct.Struct(f"<{1 + compression.layers}I")
    start = head.first_point + 8
    for number, (length, count) in enumerate(zip(lengths, counts, strict=True), 1):
        stream.seek(start + head.point_size)
        raw = stream.read(layers.size)
        start += length
        if len(raw) == layers.size:
            points, *parts = layers.unpack(raw)
            if points == count and head.point_size + layers.size + sum(parts) == length:
                continue
        raise head.fault(
            f"chunk {number:,} of {len(lengths):,} of the compressed points does not hold what it "
            "says"
        )
