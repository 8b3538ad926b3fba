"""Photos made for tests, with all that a phone hangs on them."""

import io

from PIL import Image
from PIL.ExifTags import GPS, IFD, Base

SIDEWAYS = 6  # the orientation of a phone held upright
PLACE = "Invented harbour"


def photo(width=80, height=60, *, colour=(200, 40, 40), turned=1, form="JPEG", place=False):
    """A photo whose left half is of one colour and whose right half is black."""
    image = Image.new("RGB", (width, height))
    image.paste(colour, (0, 0, width // 2, height))
    exif = image.getexif()
    exif[Base.Orientation] = turned
    if place:
        exif[Base.ImageDescription] = PLACE
        exif[Base.Make] = "Invented camera"
        exif.get_ifd(IFD.GPSInfo)[GPS.GPSLatitude] = (54.0, 30.0, 0.0)
    out = io.BytesIO()
    told = {"comment": PLACE.encode()} if place and form == "JPEG" else {}
    image.save(out, form, exif=exif, **told)
    return out.getvalue()


def opened(content):
    """The picture of some bytes, unpacked."""
    image = Image.open(io.BytesIO(content))
    image.load()
    return image
