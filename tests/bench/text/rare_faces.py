#!/usr/bin/env python3
# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""A third set of faces with exact truth: what the other two hardly draw. Indices of 12 to 84 pt in
the corners of open decks, with a sign beside them; figures of old style; small capitals made of
scaled ones; large words whose letters run from one color into another, with rims and shadows; lines
whose words are parted by dots, dashes, bullets and colons.

    rare_faces.py DATA OUT [--seed 51] [--text 60] [--parted 20] [--easy 12] [--hard 12]

Faces without text are open faces with signs alone, in their corners too. Keys as in make_faces.py.
"""

from __future__ import annotations

import functools
import random
from dataclasses import replace

from PIL import Image

import grounds
from grounds import color
from lettering import Face, font
from make_faces import TITLES, Library, arguments, save
from other_faces import mean_of, picture, style_on, text_block, worn
from other_lettering import put

PARTS = ("Tool|Keep in play|Place|Row 4|One use|12/18|First light|Moth|Event|This night|Uncommon|Cost 3|Dusk|"
         "Two to four keepers|Ages 9|Draw one|Reveal").split("|")
INDICES = "A K Q J 10 9 8 7 6 5 4 3 2 1 0 B D V R 11 12 13 21".split()


@functools.lru_cache(maxsize=None)
def old_style(path: str) -> bool:
    tops = [-font(path, 2000).getbbox(c, anchor="ls")[1] for c in "0123456789"]
    return max(tops) - min(tops) > 200


def sign(face: Face, kind: int, x: float, y: float, side: float, ink: tuple[int, ...], over: bool = False) -> None:
    mask = grounds.symbol(random.Random(kind), max(3, round(side)), kind)
    mask = mask.rotate(180) if over else mask
    face.image.paste(ink, (round(x), round(y)), mask)


def ground(face: Face) -> tuple[int, ...]:
    r = face.r
    fill = color(r, 200, 255) if r.random() < 0.7 else color(r, 0, 80)
    face.image.paste(fill, (0, 0, *face.image.size))
    return fill


def pips(face: Face, kind: int, ink: tuple[int, ...], margin: float) -> None:
    r, (w, h) = face.r, face.image.size
    columns, rows = r.choice([1, 2, 3]), r.randint(1, 5)
    side = min((w - 2 * margin) / columns, (h - 2 * margin) / rows) * r.uniform(0.3, 0.75)
    for i in range(columns):
        for j in range(rows):
            x = margin + (i + 0.5) * (w - 2 * margin) / columns - side / 2
            y = margin + (j + 0.5) * (h - 2 * margin) / rows - side / 2
            sign(face, kind, x, y, side, ink, 2 * j > rows)


def open_deck(face: Face, lib: Library, written: bool = True) -> None:
    """Indices in two or four corners, those below upside down; a sign under each."""
    r, u, (w, h) = face.r, face.u, face.image.size
    fill = ground(face)
    points = r.choice([12, 18, 26, 36, 48, 60, 72, 84]) * r.uniform(0.9, 1.1)
    style = replace(style_on(lib, r, points, "flat", fill), tracking=0.0, effect="plain")
    text, kind, margin = r.choice(INDICES), r.randint(0, 7), r.uniform(5, 10) * u
    box = font(style.path, 400).getbbox(text, anchor="ls")
    wide, tall = box[2] / 400 * points * u, -box[1] / 400 * points * u
    if 2 * wide + 2 * margin > w or tall * 2.5 > h / 2:
        points *= 0.5
        style, wide, tall = replace(style, points=points), wide / 2, tall / 2
    side = tall * r.uniform(0.5, 1.0)
    if r.random() < 0.7:
        pips(face, kind, style.ink, margin + max(wide, side) + 6 * u)
    else:
        part = picture(face, lib, round(w - 2 * (margin + wide)), round(h * 0.5))
        face.image.paste(part, (round(margin + wide), round(h * 0.25)))
    places = [(margin, margin + tall, 0), (w - margin, h - margin - tall, 180)]
    if r.random() < 0.4:
        places += [(w - margin - wide, margin + tall, 0), (margin + wide, h - margin - tall, 180)]
    for x, y, angle in places:
        over = angle == 180
        if written:
            put(face, style, text, x, y, angle=angle, flat=fill, mark=len(text) == 1 or text.isdigit())
        else:
            sign(face, kind, x - wide if over else x, y if over else y - tall, wide, style.ink, over)
        gap = 0.2 * tall
        at = x - wide / 2 - side / 2 if over else x + wide / 2 - side / 2
        sign(face, kind, at, y - gap - side if over else y + gap, side, style.ink, over)


def figures(face: Face, lib: Library) -> None:
    """Figures of old style in rows, in corners and among words."""
    r, u, (w, h) = face.r, face.u, face.image.size
    fill = ground(face)
    with_figures = [p for group in sorted(lib.families) for p in lib.families[group] if old_style(p)]
    path = r.choice(with_figures) if with_figures else lib.font(r)
    big = replace(style_on(lib, r, r.uniform(14, 30), "flat", fill, path), tracking=0.0)
    put(face, big, str(r.randint(0, 9)), 9 * u, 9 * u + big.points * u, flat=fill, mark=True)
    put(face, big, str(r.randint(10, 99)), w - 9 * u, 9 * u + big.points * u, align="right", flat=fill, mark=True)
    style = style_on(lib, r, r.uniform(6, 11), "flat", fill, path)
    y = 26 * u + big.points * u
    while y < h - 12 * u:
        put(face, style, r.choice(TITLES), 10 * u, y, flat=fill)
        put(face, style, str(r.randint(10, 9999)), w - 10 * u, y, align="right", flat=fill)
        y += style.points * u * 1.6


def capitals(face: Face, lib: Library) -> None:
    """A name and rules in small capitals."""
    r, u, (w, h) = face.r, face.u, face.image.size
    if r.random() < 0.5:
        fill: tuple[int, ...] | None = ground(face)
        kind, under = "flat", fill
    else:
        face.image.paste(picture(face, lib, w, h), (0, 0))
        fill, kind, under = None, "art", mean_of(face, (0, 0, w, h))
    y = 14 * u
    for points in (r.uniform(11, 20), r.uniform(8, 12)):
        style = replace(style_on(lib, r, points, kind, under), small_caps=r.uniform(0.7, 0.84))
        y += points * u * 1.5
        put(face, style, r.choice(TITLES), w / 2, y, align="center", ground=kind, flat=fill)
    style = replace(style_on(lib, r, r.uniform(6, 9), kind, under), small_caps=r.uniform(0.7, 0.84))
    text_block(face, lib, style, (12 * u, h * 0.45, w - 24 * u, h * 0.9), kind, fill, words=14, lead=1.3)


def display(face: Face, lib: Library) -> None:
    """Large words on art whose letters run from one color into another that is far from it."""
    r, u, (w, h) = face.r, face.u, face.image.size
    face.image.paste(picture(face, lib, w, h), (0, 0))
    y = 0.1 * h
    while y < 0.8 * h:
        points = r.uniform(14, 44)
        y += points * u * 1.1
        style = style_on(lib, r, points, "art", mean_of(face, (0.1 * w, y - points * u, 0.9 * w, y)))
        dark = sum(style.ink) < 384
        second = tuple(max(0, v - r.randint(20, 140)) if dark else min(255, v + r.randint(20, 140)) for v in style.ink)
        put(face, style, r.choice(["Dusk", "MOTH", "Graft", "Wick", "BLOOM", "Frost", "Ember", "NIGHT"]), w / 2, y,
            align="center", ground="art", second=second, angle=r.choice([0, 0, r.uniform(-8, 8)]))
        y += points * u * 0.4


@functools.lru_cache(maxsize=None)
def has(path: str, sign: str) -> bool:
    """Whether a font draws this sign, and not what it draws for any that it lacks."""
    big = font(path, 200)
    return bytes(big.getmask(sign)) != bytes(big.getmask("\uffff"))


def parted_text(r: random.Random, path: str) -> str:
    signs = [s for s in (" \u00b7 ", " \u2022 ", " \u2013 ", " \u2014 ", " - ", ": ", " : ", " / ", " | ", " + ", ", ")
             if has(path, s.strip())]
    between = r.choice(signs)
    words = [r.choice(PARTS) for _ in range(r.choice([2, 2, 2, 3]))]
    text = between.join(words)
    return text.upper() if r.random() < 0.5 else text


def parted(face: Face, lib: Library) -> None:
    """Lines of kinds and small print whose words are parted by signs, also widely spaced, and along the sides."""
    r, u, (w, h) = face.r, face.u, face.image.size
    fill: tuple[int, ...] | None = ground(face)
    kind, under = "flat", fill
    if r.random() < 0.3:
        face.image.paste(picture(face, lib, w, h), (0, 0))
        fill, kind, under = None, "art", mean_of(face, (0, 0, w, h))
    y = 24 * u
    while y < h - 16 * u:
        style = style_on(lib, r, r.uniform(5, 11), kind, under)
        text = parted_text(r, style.path)
        if text.isupper() and r.random() < 0.6:
            style = replace(style, tracking=r.uniform(0.06, 0.22))
        x, align = r.choice([(24 * u, "left"), (w / 2, "center"), (w - 24 * u, "right")])
        put(face, style, text, x, y, align=align, ground=kind, flat=fill)
        y += style.points * u * r.uniform(1.6, 3)
    for angle, x in ((270, 14 * u), (90, w - 14 * u)):
        style = replace(style_on(lib, r, r.uniform(4.5, 8), kind, under), tracking=r.uniform(0, 0.22))
        put(face, style, parted_text(r, style.path), x, h / 2, align="center", angle=angle, ground=kind, flat=fill)


LAYOUTS = [open_deck, figures, capitals, display, open_deck]


def main() -> None:
    o = arguments(seed=51, text=60, parted=20, easy=12, hard=12).parse_args()
    o.out.mkdir(parents=True, exist_ok=True)
    lib = Library(o.data)
    for group, count in (("text", o.text), ("parted", o.parted), ("easy", o.easy), ("hard", o.hard)):
        for i in range(count):
            r = random.Random(f"rare {o.seed} {group} {i}")
            ppi = r.choice([150, 200, 300, 300, 300, 350, 450, 600])
            face = Face(r, ppi, Image.new("RGB", (round(2.5 * ppi), round(3.5 * ppi))))
            if group == "text":
                layout = LAYOUTS[i % len(LAYOUTS)]
                layout(face, lib)
                kind = layout.__name__
            elif group == "parted":
                kind = "parted"
                parted(face, lib)
            elif group == "easy":
                kind = "picture"
                face.image.paste(picture(face, lib, *face.image.size), (0, 0))
            else:
                kind = "signs"
                open_deck(face, lib, written=False)
            worn(face)
            save(face, o.out, group, i, kind)


if __name__ == "__main__":
    main()
