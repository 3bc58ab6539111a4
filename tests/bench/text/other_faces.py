#!/usr/bin/env python3
# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""A second set of faces with exact truth: other layouts, grounds, sizes and another way of drawing
than make_faces.py, so that the survey is not fitted to one generator.

    other_faces.py DATA OUT [--seed 31] [--text 72] [--easy 24] [--hard 27] [--fonts held-out|all]

Letters are drawn at six times the size and reduced by a Hamming filter; a face may be made at one
resolution and scaled to another, saved as JPEG with halved chroma, brought to a palette, grained or
blurred. The truth's keys are those of make_faces.py. `--fonts all` also takes the fonts that the
training of the net has seen: for sizes and colors only.
"""

from __future__ import annotations

import csv
import io
import math
import random
from dataclasses import replace
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

import grounds
import other_grounds
from grounds import color
from lettering import Face, Style, em_heights, luminance
from make_faces import TITLES, Library, arguments, ink_on, save, sentence
from other_lettering import put, text_length

PLACES = "Thornwick|Mothgate|Lower Hedge|Old Cistern|Wren Hollow|Saltmere|The Nine Steps|Ashby Ford".split("|")


def mean_of(face: Face, box: tuple[float, float, float, float]) -> tuple[int, ...]:
    w, h = face.image.size
    x0, y0 = max(0, round(box[0])), max(0, round(box[1]))
    x1, y1 = min(w, max(x0 + 1, round(box[2]))), min(h, max(y0 + 1, round(box[3])))
    part = np.asarray(face.image.crop((x0, y0, x1, y1))).reshape(-1, 3)
    return tuple(int(v) for v in part.mean(0)) if len(part) else (128, 128, 128)


def style_on(lib: Library, r: random.Random, points: float, ground: str, under: tuple[int, ...],
             path: str | None = None) -> Style:
    least = {"flat": 1.65, "clear": 2.6, "art": 4.5}[ground]
    style = Style(path or lib.font(r), points, ink_on(r, under, least))
    q = r.random()
    if q < 0.12:
        style.tracking = r.uniform(0.05, 0.3)
    elif q < 0.2:
        style.tracking = -r.uniform(0.01, 0.035)
    rim = (0, 0, 0) if float(luminance(style.ink)) > 0.18 else (255, 255, 255)
    rim = rim if r.random() < 0.7 else grounds.near(r, rim, 50)
    q = r.random()
    if ground == "art":
        style.effect = "outline" if q < 0.25 else "glow" if q < 0.45 else "shadow" if q < 0.65 else "plain"
    elif q < 0.06:
        style.effect = "shadow"
    style.rim = rim
    return style


def text_block(face: Face, lib: Library, style: Style, box: tuple[float, float, float, float], ground: str,
               flat: tuple[int, ...] | None, *, words: int, lead: float, wide: float = 1.0,
               bullets: bool = False, icons: bool = False, align: str = "left", angle: float = 0.0) -> float:
    """Lines of words in a box; some words give way to an icon. Returns the last base line."""
    r, u = face.r, face.u
    x0, y0, x1, y1 = box
    em = style.points * u
    y, line = y0 + em * 0.85, ""
    indent = em * 0.9 if bullets else 0.0
    fresh = True
    for word in sentence(r, words) + [""]:
        longer = (line + " " + word).strip()
        length = text_length(style.path, em, longer) * wide + style.tracking * em * len(longer)
        if word and length < x1 - x0 - indent - (em * 1.3 if icons else 0):
            line = longer
            continue
        if y > y1:
            break
        if len(line) > 1:
            if bullets and fresh:
                q = em * 0.14
                ImageDraw.Draw(face.image).ellipse((x0 + q, y - em * 0.35 - q, x0 + 3 * q, y - em * 0.35 + q),
                                                   fill=style.ink)
            at = {"left": x0 + indent, "center": (x0 + x1) / 2, "right": x1}[align]
            got = put(face, style, line, at, y, ground=ground, flat=flat, wide=wide, align=align)
            if icons and got and align == "left" and r.random() < 0.5:
                side = max(4, round(em * 0.8))
                mask = grounds.symbol(r, side, r.randint(0, 7))
                face.image.paste(style.ink if r.random() < 0.5 else color(r), (round(at + got + em * 0.3), round(y - side * 0.9)), mask)
            fresh = line.endswith(".")
        y += em * lead
        line = word
    return y


def picture(face: Face, lib: Library, w: int, h: int) -> Image.Image:
    r, q = face.r, face.r.random()
    if q < 0.25:
        return lib.pictures.photo(r, w, h)
    if q < 0.4:
        return lib.pictures.drawing(r, w, h)
    return r.choice(other_grounds.EASY)(r, w, h, face.u)


def veil(face: Face, box: tuple[float, float, float, float]) -> tuple[str, tuple[int, ...] | None, tuple[int, ...]]:
    """A panel: solid, see-through, frosted, or running from one color into another."""
    r = face.r
    x0, y0, x1, y1 = (round(v) for v in box)
    part = face.image.crop((x0, y0, x1, y1))
    fill = color(r, 190, 255) if r.random() < 0.5 else color(r, 0, 70)
    kind = r.choice(["flat", "flat", "clear", "frost", "ramp"])
    if kind == "flat":
        new = Image.new("RGB", part.size, fill)
    elif kind == "ramp":
        share = np.linspace(0, 1, part.size[1 if r.random() < 0.5 else 0])
        field = np.repeat(share[:, None], part.size[0], 1) if len(share) == part.size[1] else np.repeat(share[None], part.size[1], 0)
        new = other_grounds.toned(field, fill, grounds.near(r, fill, 60))
    else:
        if kind == "frost":
            part = part.filter(ImageFilter.GaussianBlur(3 * face.u))
        new = Image.blend(part, Image.new("RGB", part.size, fill), r.uniform(0.6, 0.9))
    mask = Image.new("L", part.size, 0)
    ImageDraw.Draw(mask).rounded_rectangle((0, 0, part.size[0] - 1, part.size[1] - 1), r.choice([0, 4, 9]) * face.u, 255)
    face.image.paste(new, (x0, y0), mask)
    face.hide_under((x0, y0, x1, y1))
    if r.random() < 0.4:
        ImageDraw.Draw(face.image).rounded_rectangle((x0, y0, x1, y1), 3 * face.u, None, color(r),
                                                     max(1, round(face.u * r.uniform(0.3, 1.2))))
    if kind == "flat":
        return "flat", fill, fill
    return "clear", None, mean_of(face, box)


def badge(face: Face, lib: Library, x: float, y: float, side: float, text: str) -> None:
    """A number in a disc, shield or gem."""
    r = face.r
    fill = color(r, 0, 255)
    draw = ImageDraw.Draw(face.image)
    q = side / 2
    shape = r.randint(0, 2)
    rim = color(r)
    wide = max(1, round(side * 0.06))
    if shape == 0:
        draw.ellipse((x - q, y - q, x + q, y + q), fill, rim, wide)
    elif shape == 1:
        draw.polygon([(x - q, y - q), (x + q, y - q), (x + q, y + q * 0.2), (x, y + q * 1.3), (x - q, y + q * 0.2)], fill, rim)
    else:
        draw.polygon([(x, y - q * 1.4), (x + q * 1.4, y), (x, y + q * 1.4), (x - q * 1.4, y)], fill, rim)
    points = side / face.u * 0.62 / (1 if len(text) == 1 else 1.35)
    style = replace(style_on(lib, r, points, "flat", fill), tracking=0.0)
    cap = em_heights(style.path)[1] * points * face.u
    put(face, style, text, x, y + cap / 2, align="center", flat=fill, mark=True)


def creature(face: Face, lib: Library) -> None:
    """A picture with badges, a ribbon with the name, rules with icons, a motto in another font."""
    r, u, (w, h) = face.r, face.u, face.image.size
    face.image.paste(picture(face, lib, w, h), (0, 0))
    fill = color(r)
    top = h * r.uniform(0.5, 0.62)
    ImageDraw.Draw(face.image).polygon([(0, top), (w, top), (w - 6 * u, top + 11 * u), (w, top + 22 * u),
                                        (0, top + 22 * u), (6 * u, top + 11 * u)], fill=fill)
    name = style_on(lib, r, r.uniform(9, 16), "flat", fill)
    title = r.choice(TITLES)
    put(face, name, title.upper() if r.random() < 0.4 else title, w / 2, top + 11 * u + name.points * u * 0.33,
        align="center", flat=fill, wide=r.choice([1, 1, 0.75, 1.2]))
    for x in r.sample([w * 0.14, w * 0.5, w * 0.86], r.randint(1, 3)):
        badge(face, lib, x, 24 * u, u * r.uniform(17, 28), str(r.randint(0, 19)))
    box = (8 * u, top + 27 * u, w - 8 * u, h - 8 * u)
    kind, flat, under = veil(face, box)
    style = style_on(lib, r, r.uniform(5.2, 9), kind, under)
    y = text_block(face, lib, style, (box[0] + 5 * u, box[1] + 3 * u, box[2] - 5 * u, box[3] - 12 * u), kind, flat,
                   words=r.randint(8, 24), lead=r.uniform(0.98, 1.5), icons=r.random() < 0.5, wide=r.choice([1, 1, 0.8]))
    motto = style_on(lib, r, r.uniform(5, 7.5), kind, under)
    if y < box[3] - 6 * u:
        text_block(face, lib, motto, (box[0] + 5 * u, y, box[2] - 5 * u, box[3] - 4 * u), kind, flat, words=9, lead=1.15)


def quest(face: Face, lib: Library) -> None:
    """Two columns with headings in capitals, bullets and rules."""
    r, u, (w, h) = face.r, face.u, face.image.size
    fill = color(r, 200, 255) if r.random() < 0.65 else color(r, 0, 60)
    plain = r.random() < 0.6
    face.image.paste(fill if plain else other_grounds.parchment(r, w, h, u), (0, 0, w, h))
    flat = fill if plain else None
    under = fill if plain else mean_of(face, (0, 0, w, h))
    ground = "flat" if plain else "clear"
    head = style_on(lib, r, r.uniform(11, 20), ground, under)
    put(face, head, r.choice(TITLES), w / 2, 12 * u + head.points * u, align="center", ground=ground, flat=flat)
    gap = 6 * u
    columns = [(9 * u, w / 2 - gap / 2), (w / 2 + gap / 2, w - 9 * u)] if r.random() < 0.6 else [(9 * u, w - 9 * u)]
    style = style_on(lib, r, r.uniform(4.6, 7.5), ground, under)
    label = style_on(lib, r, style.points * 1.1, ground, under)
    label.tracking = r.uniform(0, 0.15)
    rule = color(r)
    for x0, x1 in columns:
        y = 24 * u + head.points * u
        while y < h - 20 * u:
            put(face, label, r.choice(["SETUP", "YOUR TURN", "AT DUSK", "END OF PLAY"]), x0, y, ground=ground, flat=flat)
            ImageDraw.Draw(face.image).line((x0, y + 2.2 * u, x1, y + 2.2 * u), fill=rule, width=max(1, round(0.35 * u)))
            y = text_block(face, lib, style, (x0, y + 5 * u, x1, min(h - 12 * u, y + 60 * u)), ground, flat,
                           words=r.randint(6, 16), lead=r.uniform(1.0, 1.4), bullets=r.random() < 0.5) + label.points * u * 1.2


def chart(face: Face, lib: Library) -> None:
    """A map with names of places at all angles, some with a halo, and a legend."""
    r, u, (w, h) = face.r, face.u, face.image.size
    face.image.paste(other_grounds.land(r, w, h, u), (0, 0))
    used: list[tuple[float, float]] = []
    for _ in range(r.randint(4, 8)):
        x, y = r.uniform(0.2, 0.8) * w, r.uniform(0.08, 0.75) * h
        if any(abs(y - b) < 26 * u for _, b in used):
            continue
        used.append((x, y))
        style = style_on(lib, r, r.uniform(5.5, 12), "art", mean_of(face, (x - 30 * u, y - 8 * u, x + 30 * u, y)))
        text = r.choice(PLACES)
        put(face, style, text.upper() if r.random() < 0.3 else text, x, y, align="center",
            angle=r.choice([0, 0, r.uniform(-12, 12)]), ground="art")
    box = (8 * u, h * 0.8, w * r.uniform(0.5, 0.95), h - 8 * u)
    kind, flat, under = veil(face, box)
    style = style_on(lib, r, r.uniform(5, 7), kind, under)
    text_block(face, lib, style, (box[0] + 4 * u, box[1] + 2 * u, box[2] - 4 * u, box[3] - 3 * u), kind, flat, words=14, lead=1.25)


def ticket(face: Face, lib: Library) -> None:
    """Strips along the sides, one number huge, one line upside down."""
    r, u, (w, h) = face.r, face.u, face.image.size
    fill = color(r)
    face.image.paste(fill, (0, 0, w, h))
    band = color(r)
    draw = ImageDraw.Draw(face.image)
    draw.rectangle((0, 0, 24 * u, h), fill=band)
    style = style_on(lib, r, r.uniform(6, 15), "flat", band)
    put(face, style, r.choice(TITLES).upper() if r.random() < 0.5 else r.choice(TITLES), 16 * u, h / 2,
        align="center", angle=270, flat=band)
    for x in np.arange(28 * u, w, 4 * u):
        draw.line((x, h * 0.5, x + 2 * u, h * 0.5), fill=band, width=max(1, round(0.6 * u)))
    for angle, y in ((0, h * 0.2), (180, h * 0.8)):
        style = style_on(lib, r, r.uniform(24, 36), "flat", fill)
        put(face, style, str(r.randint(10, 99)), w * 0.6, y, align="center", angle=angle, flat=fill, mark=True)
        style = style_on(lib, r, r.uniform(5, 9), "flat", fill)
        put(face, style, " ".join(sentence(r, 4)), w * 0.56, y + (20 if angle == 0 else -20) * u, align="center",
            angle=angle, flat=fill)
    style = style_on(lib, r, r.uniform(5, 8), "flat", fill)
    put(face, style, " ".join(sentence(r, 4)), w - 8 * u, h / 2, align="center", angle=90, flat=fill)


def banner(face: Face, lib: Library) -> None:
    """Large words with rims and color runs on a material, small ones on a veil."""
    r, u, (w, h) = face.r, face.u, face.image.size
    face.image.paste(r.choice(other_grounds.EASY)(r, w, h, face.u), (0, 0))
    y = h * 0.16
    for _ in range(r.randint(1, 3)):
        points = r.uniform(14, 34)
        style = style_on(lib, r, points, "art", mean_of(face, (0.1 * w, y - points * u, 0.9 * w, y)))
        text = r.choice(["Nightfall", "GRAFT", "Hedge Maze", "Pollen", "Orchard", "LAST LAMP", "Wick & Wax"])
        second = grounds.near(r, style.ink, 45) if r.random() < 0.4 else None
        put(face, style, text, w / 2, y, align="center", ground="art", second=second,
            angle=r.choice([0, 0, r.uniform(-9, 9)]), wide=r.choice([1, 1, 0.7]))
        y += points * u * 1.5
    box = (10 * u, h * 0.6, w - 10 * u, h - 10 * u)
    kind, flat, under = veil(face, box)
    style = style_on(lib, r, r.uniform(5.2, 10), kind, under)
    text_block(face, lib, style, (box[0] + 5 * u, box[1] + 4 * u, box[2] - 5 * u, box[3] - 4 * u), kind, flat,
               words=r.randint(10, 30), lead=r.uniform(1.0, 1.6), align=r.choice(["left", "center", "right"]))


def comic(face: Face, lib: Library) -> None:
    """Speech in balloons over pictures, in capitals."""
    r, u, (w, h) = face.r, face.u, face.image.size
    for i in range(3):
        part = picture(face, lib, w, math.ceil(h / 3))
        face.image.paste(part, (0, round(h * i / 3)))
    draw = ImageDraw.Draw(face.image)
    for i in range(3):
        draw.line((0, h * i / 3, w, h * i / 3), fill=(0, 0, 0), width=max(1, round(u)))
        fill = color(r, 225, 255)
        style = style_on(lib, r, r.uniform(5.5, 8), "flat", fill)
        style.effect = "plain"
        lines = [" ".join(sentence(r, r.randint(2, 3))) for _ in range(r.randint(1, 3))]
        lines = [t.upper() for t in lines] if r.random() < 0.6 else lines
        em = style.points * u
        longest = max(text_length(style.path, em, t) + len(t) * style.tracking * em for t in lines)
        half = min(longest / 2 + 8 * u, w / 2 - 3 * u)
        x, y = r.uniform(half + 2 * u, w - half - 2 * u), h * (i / 3) + r.uniform(0.1, 0.2) * h
        tall = (len(lines) * em * 1.2 + 10 * u) / 2
        draw.ellipse((x - half * 1.15, y - tall * 1.25, x + half * 1.15, y + tall * 1.25), fill, (0, 0, 0), max(1, round(0.7 * u)))
        for k, text in enumerate(lines):
            if text_length(style.path, em, text) < 2 * half:
                put(face, style, text, x, y - tall + 5 * u + em * (1.2 * k + 0.9), align="center", flat=fill)


def leaflet(face: Face, lib: Library) -> None:
    """Dense small print, faint lines, a table of words and figures."""
    r, u, (w, h) = face.r, face.u, face.image.size
    fill = color(r, 215, 255) if r.random() < 0.5 else color(r, 0, 50)
    face.image.paste(fill, (0, 0, w, h))
    y = 8 * u
    while y < h * 0.6:
        style = style_on(lib, r, r.choice([4.2, 5, 6, 7, 8, 10]), "flat", fill)
        if r.random() < 0.4:
            style.ink = ink_on(r, fill, 1.62)
        y = text_block(face, lib, style, (8 * u, y, w - 8 * u, y + 26 * u), "flat", fill, words=r.randint(6, 20),
                       lead=r.uniform(0.95, 1.3)) + 3 * u
    style = style_on(lib, r, r.uniform(5, 7.5), "flat", fill)
    draw = ImageDraw.Draw(face.image)
    step = style.points * u * r.uniform(1.4, 2.0)
    rule = color(r)
    y += step
    while y < h - 9 * u:
        put(face, style, r.choice(PLACES), 10 * u, y, flat=fill)
        put(face, style, f"{r.randint(0, 40)}/{r.randint(41, 120)}", w * 0.62, y, align="right", flat=fill)
        put(face, style, r.choice(["lamp", "seed x2", "+3 moths", "none"]), w - 10 * u, y, align="right", flat=fill)
        for x in (8 * u, w * 0.45, w * 0.68, w - 8 * u):
            draw.line((x, y - step * 0.68, x, y + step * 0.32), fill=rule, width=max(1, round(0.3 * u)))
        draw.line((8 * u, y + step * 0.32, w - 8 * u, y + step * 0.32), fill=rule, width=max(1, round(0.3 * u)))
        y += step


LAYOUTS = [creature, quest, chart, ticket, banner, comic, leaflet, creature, banner]
SHAPES = [(2.5, 3.5), (2.5, 3.5), (2.5, 3.5), (1.75, 2.5), (3.5, 2.5), (2.75, 4.75), (2.75, 2.75)]


def scaled(face: Face, ppi: int) -> None:
    """The face as if it had been made at its resolution and exported at another."""
    k = ppi / face.ppi
    w, h = face.image.size
    size = (round(w * k), round(h * k))
    face.image = face.image.resize(size, face.r.choice([Image.BICUBIC, Image.LANCZOS, Image.BILINEAR]))
    for line in face.lines:
        line["x_px"] *= k
        line["cap_px"] *= k
        for quad in ("band", "ink"):
            line[quad] = [(x * size[0] / w, y * size[1] / h) for x, y in line[quad]]
    face.ppi = ppi


def worn(face: Face) -> None:
    r, q = face.r, face.r.random()
    if q < 0.12 and face.ppi >= 300:
        scaled(face, round(face.ppi * r.uniform(0.6, 0.9)))
    elif q < 0.2 and face.ppi <= 450:
        scaled(face, round(face.ppi * r.uniform(1.2, 1.9)))
    if r.random() < 0.15:
        face.image = face.image.filter(ImageFilter.GaussianBlur(face.ppi / 300 * r.uniform(0.3, 0.9)))
    if r.random() < 0.1:
        rng = np.random.default_rng(r.getrandbits(32))
        grain = rng.normal(0, r.uniform(1.5, 6), (face.image.height, face.image.width, 1))
        face.image = Image.fromarray((np.asarray(face.image, float) + grain).clip(0, 255).astype(np.uint8))
    q = r.random()
    if q < 0.35:
        data = io.BytesIO()
        face.image.save(data, "JPEG", quality=r.randint(40, 95), subsampling=r.choice([0, 2]))
        face.image = Image.open(data).convert("RGB")
    elif q < 0.42:
        face.image = face.image.quantize(r.choice([64, 128, 256])).convert("RGB")


def suits(lib: Library, cards: list[Path], face: Face) -> Image.Image:
    card = Image.open(face.r.choice(cards)).convert("RGB")
    return card.resize(face.image.size, Image.BICUBIC)


def main() -> None:
    p = arguments(seed=31, text=72, easy=24, hard=27)
    p.add_argument("--fonts", choices=["held-out", "all"], default="held-out")
    o = p.parse_args()
    o.out.mkdir(parents=True, exist_ok=True)
    lib = Library(o.data, every=o.fonts == "all")
    with (o.data / "art.csv").open(newline="") as source:
        cards = [o.data / q["file"] for q in csv.DictReader(source) if q["split"] == "held-out" and q["kind"] == "card"]
    for group, count in (("text", o.text), ("easy", o.easy), ("hard", o.hard)):
        for i in range(count):
            r = random.Random(f"other {o.seed} {group} {i}")
            ppi = r.choice([150, 200, 250, 300, 300, 300, 350, 450, 600, 720, 1200])
            shape = r.choice(SHAPES) if ppi < 700 else (1.75, 2.5)
            face = Face(r, ppi, Image.new("RGB", (round(shape[0] * ppi), round(shape[1] * ppi))))
            w, h = face.image.size
            if group == "text":
                layout = LAYOUTS[i % len(LAYOUTS)]
                layout(face, lib)
                kind = layout.__name__
            elif group == "easy":
                kinds = ["photo", "drawing", "card", *other_grounds.EASY]
                one = kinds[i % len(kinds)]
                kind = one if isinstance(one, str) else one.__name__
                face.image.paste(suits(lib, cards, face) if one == "card" else getattr(lib.pictures, kind)(r, w, h)
                                 if isinstance(one, str) else one(r, w, h, face.u), (0, 0))
            else:
                one = other_grounds.HARD[i % len(other_grounds.HARD)]
                kind = one.__name__
                face.image.paste(one(r, w, h, face.u), (0, 0))
            worn(face)
            save(face, o.out, group, i, kind)


if __name__ == "__main__":
    main()
