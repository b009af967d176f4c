"""trim.py PICTURE MARGIN [WIDTH]: cuts the blank paper away but for MARGIN dots, makes the picture WIDTH dots wide if it is
wider, and saves it small."""

import sys

from PIL import Image, ImageChops, ImageOps

path, margin = sys.argv[1], int(sys.argv[2])
picture = Image.open(path).convert("L")
inked = ImageChops.invert(picture).point(lambda v: 255 if v > 8 else 0)
picture = ImageOps.expand(picture.crop(inked.getbbox()), margin, 255)
if len(sys.argv) > 3 and picture.width > int(sys.argv[3]):
    wide = int(sys.argv[3])
    picture = picture.resize((wide, round(picture.height * wide / picture.width)), Image.LANCZOS)
picture.quantize(32).save(path, optimize=True)
