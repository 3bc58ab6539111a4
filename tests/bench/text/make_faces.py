#!/usr/bin/env python3
# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""Whole card faces with exact truth, to measure the text survey on.

    make_faces.py DATA OUT [--seed 7001] [--text 70] [--easy 20] [--hard 24]

DATA is the folder that src/survey/train/collect.py makes; only fonts, art and icons that are held
out from training are used. OUT gets NAME.ppm and NAME.json. Needs Pillow and NumPy (Debian
python3-pil, python3-numpy).

How letters are drawn: lettering.py.
"""

from __future__ import annotations

import argparse
import csv
import io
import json
import random
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

import grounds
from grounds import Pictures, color
from lettering import FINE, Face, Style, em_heights, font, luminance, paint, ratio, set_line

WORDS = (
    "when you reveal this choose another player then draw two cards and discard one of them if the "
    "moon is full gain three seeds for each lamp that is lit otherwise move up to four steps along "
    "the path before dawn any moth may rest here without paying its cost shuffle what is left of the "
    "orchard pile at dusk every keeper takes one token from the basket hidden under a quiet hedge"
).split()
TITLES = ("Grove Warden|Velvet Hawk|Dew Ladder|Ember Jar|The Last Lantern|Old Graft|Silk Bargain|"
          "Hollow Trunk|Night Market|Frost Warning|Pollen Thief|Quiet Hour|Wing & Wick").split("|")


class Library:
    def __init__(self, data: Path, every: bool = False):
        with (data / "fonts.csv").open(newline="") as source:
            held = [r for r in csv.DictReader(source) if every or r["split"] == "held-out"]
        self.families: dict[str, list[str]] = {}
        for row in held:
            path = str(data / row["file"])
            x, cap = em_heights(path)
            if 0.3 < x < 0.65 and x < 0.95 * cap:
                self.families.setdefault(row["group"], []).append(path)
        self.pictures = Pictures(data)

    def font(self, r: random.Random) -> str:
        return r.choice(self.families[r.choice(sorted(self.families))])


def ink_on(r: random.Random, ground: tuple[int, ...], least: float) -> tuple[int, ...]:
    """A color with at least this contrast to the ground, often not much more."""
    under, best, goal = float(luminance(ground)), None, least * r.choice([1.02, 1.3, 2, 4])
    for _ in range(80):
        c = color(r) if r.random() < 0.7 else (r.randint(0, 255),) * 3
        k = float(ratio(float(luminance(c)), under))
        if k >= least and (best is None or abs(k - goal) < best[0]):
            best = (abs(k - goal), c)
    if best is None:
        return (0, 0, 0) if under > 0.18 else (255, 255, 255)
    return best[1]


def sentence(r: random.Random, count: int) -> list[str]:
    words = [r.choice(WORDS) for _ in range(count)]
    words[0] = words[0].capitalize()
    for i in range(len(words)):
        if r.random() < 0.08:
            words[i] = str(r.randint(1, 12))
        elif r.random() < 0.1 and i + 1 < len(words):
            words[i] += r.choice([",", ".", ":", ";"])
    words[-1] += "."
    return words


def paragraph(face: Face, style: Style, box: tuple[float, float, float, float], ground: str,
              flat: tuple[int, ...] | None, align: str = "left", words: int = 30) -> None:
    r, u = face.r, face.u
    x0, y0, x1, y1 = box
    f = font(style.path, max(8, round(style.points * u * FINE)))
    lead = style.points * u * r.uniform(1.05, 1.5)
    x = {"left": x0, "center": (x0 + x1) / 2, "right": x1}[align]
    y, line = y0 + style.points * u * 0.8, ""
    for word in sentence(r, words) + [""]:
        longer = (line + " " + word).strip()
        if word and f.getlength(longer) / FINE < x1 - x0:
            line = longer
            continue
        if y > y1:
            return
        if len(line) > 1:
            set_line(face, style, line, x, y, align=align, ground=ground, flat=flat)
        y += lead
        line = word


def panel(face: Face, box: tuple[float, float, float, float]) -> tuple[str, tuple[int, ...] | None, tuple[int, ...]]:
    """Draws a panel; returns its kind, its color where it is one, and its mean color."""
    r = face.r
    x0, y0, x1, y1 = (round(v) for v in box)
    fill = color(r, 170, 255) if r.random() < 0.5 else color(r, 0, 90) if r.random() < 0.7 else color(r)
    mask = Image.new("L", face.image.size, 0)
    ImageDraw.Draw(mask).rounded_rectangle((x0, y0, x1, y1), r.choice([0, 3, 6]) * face.u, 255)
    opacity = r.choice([1.0, 1.0, 0.6, 0.75, 0.88])
    paint(face, mask, (0, 0), fill, opacity)
    face.hide_under((x0, y0, x1, y1))
    if r.random() < 0.3:
        ImageDraw.Draw(face.image).rectangle((x0, y0, x1, y1), outline=color(r), width=max(1, round(face.u * r.uniform(0.4, 1.5))))
    if opacity == 1.0:
        return "flat", fill, fill
    part = np.asarray(face.image.crop((x0, y0, x1, y1))).reshape(-1, 3)
    return "clear", None, tuple(int(v) for v in part.mean(0))


def mean_under(face: Face, box: tuple[float, float, float, float]) -> tuple[int, ...]:
    part = np.asarray(face.image.crop(tuple(round(v) for v in box))).reshape(-1, 3)
    return tuple(int(v) for v in part.mean(0)) if len(part) else (128, 128, 128)


def style_for(lib: Library, r: random.Random, points: float, ground: str, under: tuple[int, ...]) -> Style:
    """On art the color must stand clear of most of the ground, or an outline or shadow helps."""
    ink = ink_on(r, under, {"flat": 1.6, "clear": 2.6, "art": 4.5}[ground])
    style = Style(lib.font(r), points, ink)
    if r.random() < 0.15:
        style.tracking = r.uniform(0.03, 0.18)
    q = r.random()
    rim = (0, 0, 0) if float(luminance(ink)) > 0.18 else (255, 255, 255)
    if ground == "art" and q < 0.35:
        style.effect, style.rim = "outline", rim
    elif q < (0.6 if ground == "art" else 0.08):
        style.effect, style.rim = "shadow", rim
    return style


def icon_row(face: Face, lib: Library, x: float, y: float, side: int, count: int, step: float) -> None:
    r = face.r
    ink, kinds = color(r), [r.randint(0, 7) for _ in range(r.choice([1, 1, 3]))]
    use = r.choice(lib.pictures.icons) if lib.pictures.icons and r.random() < 0.4 else None
    for i in range(count):
        at = (round(x + i * step), round(y))
        if use:
            icon = Image.open(use).convert("RGBA").resize((side, side), Image.BICUBIC)
            face.image.paste(icon.convert("RGB"), at, icon.getchannel("A"))
        else:
            paint(face, grounds.symbol(r, side, r.choice(kinds)), at, ink)


def art(face: Face, lib: Library, w: int, h: int) -> Image.Image:
    r, q = face.r, face.r.random()
    if q < 0.3:
        return lib.pictures.photo(r, w, h)
    if q < 0.55:
        return lib.pictures.drawing(r, w, h)
    return r.choice([grounds.low_poly, grounds.foliage, grounds.sky])(r, w, h, face.u)


def title(r: random.Random) -> str:
    text = r.choice(TITLES)
    return text.upper() if r.random() < 0.3 else text


def classic(face: Face, lib: Library) -> None:
    """Frame, name, picture, kind, rules, small print, values in corners."""
    r, u, (w, h) = face.r, face.u, face.image.size
    fill = color(r)
    face.image.paste(fill, (0, 0, w, h))
    m = r.uniform(9, 16) * u
    top = r.uniform(40, 56) * u
    picture = art(face, lib, round(w - 2 * m), round(h * 0.36))
    face.image.paste(picture, (round(m), round(top)))
    style = style_for(lib, r, r.uniform(9, 17), "flat", fill)
    set_line(face, style, title(r), m, top - 9 * u, flat=fill)
    style = style_for(lib, r, r.uniform(14, 26), "flat", fill)
    set_line(face, style, str(r.randint(0, 9)), w - m, top - 9 * u, align="right", flat=fill, mark=True)
    y = top + h * 0.36
    style = style_for(lib, r, r.uniform(5, 8), "flat", fill)
    set_line(face, style, r.choice(["Creature: moth", "TOOL", "Event of the night"]), w / 2, y + 10 * u,
             align="center", flat=fill)
    box = (m, y + 16 * u, w - m, h - 22 * u)
    kind, flat, under = panel(face, box)
    style = style_for(lib, r, r.uniform(5.5, 10), kind, under)
    inner = (box[0] + 5 * u, box[1] + 4 * u, box[2] - 5 * u, box[3] - 4 * u)
    paragraph(face, style, inner, kind, flat, r.choice(["left", "left", "center"]), r.randint(8, 40))
    style = style_for(lib, r, r.uniform(4, 6), "flat", fill)
    set_line(face, style, f"{r.randint(1, 99)}/120 drawn by the orchard", m, h - 10 * u, flat=fill)


def full_art(face: Face, lib: Library) -> None:
    """The picture fills the face; words lie on it or on see-through panels."""
    r, u, (w, h) = face.r, face.u, face.image.size
    face.image.paste(art(face, lib, w, h), (0, 0))
    y = r.uniform(30, 44) * u
    for _ in range(r.randint(2, 4)):
        points = r.choice([6, 8, 10, 12, 16, 24]) * r.uniform(0.9, 1.1)
        y += points * u * 1.6
        style = style_for(lib, r, points, "art", mean_under(face, (w * 0.2, y - points * u, w * 0.8, y)))
        text = title(r) if points > 9 else " ".join(sentence(r, r.randint(3, 6)))
        set_line(face, style, text, w / 2, y, align="center", ground="art")
    box = (12 * u, h * r.uniform(0.55, 0.7), w - 12 * u, h - 16 * u)
    if r.random() < 0.65:
        kind, flat, under = panel(face, box)
    else:
        kind, flat, under = "art", None, mean_under(face, box)
    style = style_for(lib, r, r.uniform(6, 11), kind, under)
    paragraph(face, style, (box[0] + 6 * u, box[1] + 5 * u, box[2] - 6 * u, box[3] - 5 * u), kind, flat,
              r.choice(["left", "center", "right"]), r.randint(8, 26))


def two_heads(face: Face, lib: Library) -> None:
    """Upright above, upside down below, labels along the sides."""
    r, u, (w, h) = face.r, face.u, face.image.size
    fill = color(r, 150, 255) if r.random() < 0.5 else color(r, 0, 100)
    face.image.paste(fill, (0, 0, w, h))
    if r.random() < 0.5:
        part = art(face, lib, round(w * 0.6), round(h * 0.3))
        face.image.paste(part, (round(w * 0.2), round(h * 0.35)))
    for angle in (0, 180):
        style = style_for(lib, r, r.uniform(8, 15), "flat", fill)
        x, y = (w / 2, 34 * u) if angle == 0 else (w / 2, h - 34 * u)
        set_line(face, style, title(r).title(), x, y, align="center", angle=angle, flat=fill)
        style = style_for(lib, r, r.uniform(5, 8), "flat", fill)
        x, y = (w / 2, 50 * u) if angle == 0 else (w / 2, h - 50 * u)
        set_line(face, style, " ".join(sentence(r, 5)), x, y, align="center", angle=angle, flat=fill)
        style = style_for(lib, r, r.uniform(16, 24), "flat", fill)
        x, y = (10 * u, 30 * u) if angle == 0 else (w - 10 * u, h - 30 * u)
        set_line(face, style, str(r.randint(0, 9)), x, y, angle=angle, flat=fill, mark=True)
    for angle, x in ((270, 18 * u), (90, w - 18 * u)):
        style = style_for(lib, r, r.uniform(5, 11), "flat", fill)
        text = " ".join(sentence(r, 4)) if r.random() < 0.6 else title(r).upper()
        set_line(face, style, text, x, h / 2, align="center", angle=angle, flat=fill)


def table(face: Face, lib: Library) -> None:
    """A reference card: rows of name, icons and number between rules."""
    r, u, (w, h) = face.r, face.u, face.image.size
    fill = color(r, 190, 255) if r.random() < 0.6 else color(r, 0, 70)
    face.image.paste(fill, (0, 0, w, h))
    style = style_for(lib, r, r.uniform(10, 14), "flat", fill)
    set_line(face, style, "HOW TO SCORE", w / 2, 26 * u, align="center", flat=fill)
    name = style_for(lib, r, r.uniform(5, 9), "flat", fill)
    number = style_for(lib, r, name.points * 1.1, "flat", fill)
    y, step = 44 * u, name.points * u * r.uniform(1.5, 2.4)
    draw = ImageDraw.Draw(face.image)
    rule = color(r)
    while y < h - 20 * u:
        set_line(face, name, r.choice(TITLES), 14 * u, y, flat=fill)
        side = round(name.points * u * 0.9)
        icon_row(face, lib, w * 0.56, y - side * 0.85, side, r.randint(1, 4), side * 1.25)
        set_line(face, number, f"{r.randint(10, 99)}", w - 14 * u, y, align="right", flat=fill)
        if r.random() < 0.7:
            draw.line((12 * u, y + step * 0.35, w - 12 * u, y + step * 0.35), fill=rule, width=max(1, round(0.4 * u)))
        y += step


def poster(face: Face, lib: Library) -> None:
    """Large and slanted words over a scene, a dark foot with small reversed lines."""
    r, u, (w, h) = face.r, face.u, face.image.size
    face.image.paste(art(face, lib, w, h), (0, 0))
    y = 0.2 * h
    for _ in range(2):
        points = r.uniform(16, 36)
        under = mean_under(face, (0.1 * w, y - 20 * u, 0.9 * w, y + 20 * u))
        style = style_for(lib, r, points, "art", under)
        text = r.choice(["Dusk", "Moth", "Graft", "Wick", "Bloom", "Frost Gate", "EMBER"])
        set_line(face, style, text, w / 2, y, align="center", angle=r.choice([0, r.uniform(-7, 7)]), ground="art")
        y += points * u * 1.5
    foot = color(r, 0, 60)
    face.image.paste(foot, (0, round(0.75 * h), w, h))
    face.hide_under((0, 0.75 * h, w, h))
    style = style_for(lib, r, r.uniform(5, 8), "flat", foot)
    paragraph(face, style, (14 * u, 0.77 * h, w - 14 * u, h - 12 * u), "flat", foot, "left", 24)


LAYOUTS = [classic, classic, full_art, full_art, two_heads, table, poster]


def worn(face: Face) -> None:
    """What files go through: blur, JPEG. The truth stays."""
    r = face.r
    if r.random() < 0.2:
        face.image = face.image.filter(ImageFilter.GaussianBlur(face.ppi / 300 * r.uniform(0.3, 0.8)))
    if r.random() < 0.35:
        data = io.BytesIO()
        face.image.save(data, "JPEG", quality=r.randint(45, 92))
        face.image = Image.open(data).convert("RGB")


def easy(face: Face, lib: Library, i: int) -> str:
    w, h = face.image.size
    kind = ["photo", "low_poly", "foliage", "drawing", "sky"][i % 5]
    if kind in ("photo", "drawing"):
        picture = getattr(lib.pictures, kind)(face.r, w, h)
    else:
        picture = getattr(grounds, kind)(face.r, w, h, face.u)
    face.image.paste(picture, (0, 0))
    return kind


def hard(face: Face, lib: Library, i: int) -> str:
    r, u, (w, h) = face.r, face.u, face.image.size
    kind = ["icons", "halftone", "tiles", "ruled", "hatching", "rosettes", "maze", "speckle"][i % 8]
    if kind == "icons":
        fill = color(r)
        face.image.paste(fill, (0, 0, w, h))
        y = 12 * u
        while y < h - 40 * u:
            side = round(u * r.uniform(5, 26))
            step = side * r.uniform(1.05, 1.7)
            icon_row(face, lib, 10 * u, y, side, r.randint(3, max(3, int((w - 20 * u) / step))), step)
            y += side * r.uniform(1.2, 2.2)
    elif kind == "halftone":
        face.image = grounds.halftone(r, w, h, u, lib.pictures.photo(r, w, h))
    else:
        face.image.paste(getattr(grounds, kind)(r, w, h, u), (0, 0))
    return kind


def arguments(seed: int, **counts: int) -> argparse.ArgumentParser:
    """What every generator of faces is asked for; `counts`: faces of each group."""
    p = argparse.ArgumentParser()
    p.add_argument("data", type=Path)
    p.add_argument("out", type=Path)
    p.add_argument("--seed", type=int, default=seed)
    for group, count in counts.items():
        p.add_argument("--" + group, type=int, default=count)
    return p


def save(face: Face, folder: Path, group: str, number: int, kind: str) -> None:
    """A face and the truth about it."""
    name = f"{group}-{number:03d}"
    face.image.save(folder / f"{name}.ppm")
    truth = {"name": name, "group": group, "kind": kind, "ppi": face.ppi, "lines": face.lines}
    (folder / f"{name}.json").write_text(json.dumps(truth))


def main() -> None:
    o = arguments(seed=7001, text=70, easy=20, hard=24).parse_args()
    o.out.mkdir(parents=True, exist_ok=True)
    lib = Library(o.data)
    for group, count in (("text", o.text), ("easy", o.easy), ("hard", o.hard)):
        for i in range(count):
            r = random.Random(f"{o.seed} {group} {i}")
            ppi = r.choice([150, 200, 300, 300, 300, 300, 400, 600]) if group == "text" else r.choice([200, 300, 300, 400])
            face = Face(r, ppi, Image.new("RGB", (round(2.5 * ppi), round(3.5 * ppi))))
            if group == "text":
                layout = LAYOUTS[i % len(LAYOUTS)]
                layout(face, lib)
                kind = layout.__name__
            else:
                kind = (easy if group == "easy" else hard)(face, lib, i)
            worn(face)
            save(face, o.out, group, i, kind)


if __name__ == "__main__":
    main()
