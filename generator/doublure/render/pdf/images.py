"""Pictures as image objects of a PDF.

In: artwork streams as store/ makes them. Out: indirect objects.
Never: scaling or compressing a picture again, decoding one.
"""

from __future__ import annotations

from pikepdf import Dictionary, Name, Object, Pdf, Stream

from doublure.model.artwork import ArtworkStream


def add_stream(pdf: Pdf, stream: ArtworkStream) -> Object:
    """Return a picture's stream as an image object, unchanged.

    Source:
        ISO 32000-1:2008, 7.4.4.3 (predictors), 7.4.6 (CCITTFaxDecode), 8.9.5 (image dictionaries); from memory.
    """
    image = Stream(pdf, stream.data)
    image.Type, image.Subtype = Name.XObject, Name.Image
    image.Width, image.Height = stream.width_px, stream.height_px
    image.BitsPerComponent = stream.bits
    image.ColorSpace = Name.DeviceGray if stream.components == 1 else Name.DeviceRGB
    # Pixels are pixels: readers are not to blur them.
    image.Interpolate = False
    image.Filter = Name(f"/{stream.filter}")
    if stream.filter == "CCITTFaxDecode":
        image.DecodeParms = Dictionary(
            K=-1, Columns=stream.width_px, Rows=stream.height_px, BlackIs1=stream.black_is_1
        )
    elif stream.predictor_columns:
        image.DecodeParms = Dictionary(
            Predictor=15,
            Colors=stream.components,
            BitsPerComponent=stream.bits,
            Columns=stream.predictor_columns,
        )
    return pdf.make_indirect(image)
