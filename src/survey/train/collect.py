# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""Builds the training data from installed packages with open licences.

    collect.py DATA NPM

DATA is the folder to make (under 45 MiB); NPM holds the unpacked npm packages `svg-cards` and
`playing-cards-standard-deck` (README.md says how). Fonts are cut down to Latin letters, art to
JPEG of at most 1400 px, icons to PNG with alpha of at most 160 px. Each font family and each art
group is for training or held out for the benchmark by a hash of its name alone, so the split stays the same when
packages are added. Writes DATA/fonts.csv, DATA/art.csv, DATA/icons.csv (the manifests).
"""

from __future__ import annotations

import csv
import hashlib
import io
import re
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from fontTools import subset
from fontTools.ttLib import TTFont
from PIL import Image, ImageOps

HELD_OUT_PERCENT = 15
FONT_ROOTS = [Path("/usr/share/fonts"), Path("/usr/share/texmf/fonts")]
CLIPART = Path("/usr/share/openclipart/svg")
LATIN = [*range(0x20, 0x7F), *range(0xA0, 0x180), *range(0x2010, 0x2027), 0x20AC, 0x2122, 0x2212]

# Families drawn after one model count as one, or the benchmark would meet a training font again.
TWINS = {
    "roman": ["nimbus roman", "tex gyre termes", "texgyretermes", "liberation serif", "tinos"],
    "grotesk": ["nimbus sans", "tex gyre heros", "texgyreheros", "liberation sans", "arimo"],
    "typist": ["nimbus mono", "tex gyre cursor", "texgyrecursor", "liberation mono", "cousine"],
    "renaissance": ["p052", "tex gyre pagella", "texgyrepagella"],
    "bookface": ["urw bookman", "tex gyre bonum", "texgyrebonum"],
    "geometric": ["urw gothic", "tex gyre adventor", "texgyreadventor"],
    "chancery": ["z003", "tex gyre chorus", "texgyrechorus"],
    "schoolbook": ["c059", "tex gyre schola", "texgyreschola", "century catalogue"],
    "noto sans": ["noto sans"],
    "noto serif": ["noto serif"],
    "dejavu sans mono": ["dejavu sans mono"],
    "dejavu sans": ["dejavu sans"],
    "pt sans": ["pt sans"],
    "pt serif": ["pt serif"],
    "courier prime": ["courier prime"],
    "junicode": ["junicode"],
}
PACKAGES = (
    "urw-base35 texgyre noto-core liberation2 dejavu-core dejavu-extra adf-accanthis "
    "adf-baskervald adf-berenis adf-ikarius adf-irianis adf-libris adf-mekanus adf-romande "
    "adf-tribun adf-verana allerta arapey cantarell century-catalogue cherrybomb clear-sans "
    "comfortaa comic-neue courier-prime croscore dosis ecolier-court essays1743 fanwood junicode "
    "karla kaushanscript kristi leckerli-one league-spartan lobster manrope oldstandard oxygen "
    "paratype prociono quattrocento quicksand sora staypuft tomsontalks"
).split()
NOT_LETTERS = re.compile(r"D050000L|Symbol|Math", re.I)
NOTO = re.compile(r"Noto(Sans|Serif)(Display)?-[A-Z]")

# Folders of drawings without lettering; keyboards, road signs, labels and maps with names stay out.
ICON_FOLDERS = (
    "animals animals/mammals animals/birds animals/bugs animals/fish plants plants/flowers food "
    "food/fruit food/desserts food/meats_and_eggs food/breads_and_carbs food/vegetables "
    "recreation/music recreation/sports recreation/toys recreation/holiday recreation/games/chess "
    "recreation/games/dice tools tools/weapons shapes shapes/arrows shapes/stars shapes/jigsaw "
    "decorations signs_and_symbols/weather buildings buildings/homes people/stickmen "
    "people/smilies people/clothing/hats people/bodypart transportation/vehicles "
    "transportation/aiga-symbols science"
).split()
ART_FOLDERS = (
    "animals animals/mammals animals/birds animals/bugs animals/fish plants plants/flowers "
    "buildings buildings/homes food/fruit food/vegetables food/desserts "
    "special/patterns special/gradients decorations recreation/music tools tools/weapons "
    "transportation/vehicles"
).split()
LETTERED = re.compile(
    r"logo|text|alphabet|letter|sign|label|stop|linux|tux|word|keyboard|clock|earth|piano|theory|"
    r"information|parking|lost_and|exit|menu|barcode|pasta|juke|pool_|ball|flag|portrait|mate|"
    r"dead_frogs|bach_|route|for_teacher|apple_for",
    re.I,
)
DECKS = ("white", "simple", "ornamental", "bordered")


def held_out(key: str) -> bool:
    """The split: a pure function of the group's name."""
    digest = hashlib.sha256(("paleproof " + key.lower()).encode()).digest()
    return int.from_bytes(digest[:4], "big") % 100 < HELD_OUT_PERCENT


def split_of(key: str) -> str:
    return "held-out" if held_out(key) else "train"


def stem(source: str) -> str:
    """A file name that depends on nothing but the source's name."""
    return hashlib.sha256(source.encode()).hexdigest()[:10]


def package_files(package: str) -> list[Path]:
    """Files a Debian package installed, in order of name."""
    out = subprocess.run(["dpkg", "-L", package], capture_output=True, text=True, check=True)
    return sorted(Path(line) for line in out.stdout.splitlines())


def family_of(font: TTFont) -> str:
    names = font["name"]
    name = names.getDebugName(16) or names.getDebugName(1) or ""
    low = name.lower()
    for group, members in TWINS.items():
        if any(low.startswith(m) for m in members):
            return group
    bare = re.sub(
        r"\b(std|adf|light|medium|bold|thin|text|two|no\.? ?\d|pro|style|script|titling|sans demi)\b",
        "",
        low,
    )
    return re.sub(r"[^a-z0-9]+", " ", bare).strip()


def collect_fonts(data: Path) -> list[dict[str, str]]:
    rows: list[dict[str, str]] = []
    for package in PACKAGES:
        for path in package_files("fonts-" + package):
            if path.suffix.lower() not in (".otf", ".ttf") or path.is_symlink():
                continue
            if NOT_LETTERS.search(path.name) or "Junicode" in path.name and "Cond" in path.name:
                continue
            if package == "noto-core" and not NOTO.match(path.name):
                continue
            font = TTFont(path, fontNumber=0)
            cmap = font.getBestCmap() or {}
            if "fvar" in font or not all(ord(c) in cmap for c in "abcxyzABCXYZ0123456789.,"):
                continue
            accents = all(ord(c) in cmap for c in "éüñçåøłščžőğ")
            name = stem(package + path.name) + path.suffix.lower()
            options = subset.Options(layout_features=["kern"], hinting=False, desubroutinize=False)
            options.drop_tables += ["FFTM", "DSIG", "GDEF", "PfEd", "TeX "]
            cutter = subset.Subsetter(options)
            cutter.populate(unicodes=[u for u in LATIN if u in cmap])
            family = family_of(font)
            style = font["name"].getDebugName(17) or font["name"].getDebugName(2) or ""
            cutter.subset(font)
            font.save(data / "fonts" / name)
            rows.append(
                dict(
                    file=f"fonts/{name}",
                    split=split_of(family),
                    group=family,
                    style=style,
                    accents=str(int(accents)),
                    package="fonts-" + package,
                    source=path.name,
                )
            )
    return rows


def rasterised(svg: Path, side: int) -> Image.Image | None:
    """The drawing with alpha, cropped to its ink, longest side `side`; None if it has no ink."""
    command = ["rsvg-convert", "-a", "-w", str(side * 2), "-h", str(side * 2), str(svg)]
    try:
        out = subprocess.run(command, capture_output=True, timeout=20, check=True).stdout
        image = Image.open(io.BytesIO(out)).convert("RGBA")
    except (subprocess.SubprocessError, OSError):
        return None
    box = image.getchannel("A").point(lambda v: 255 if v > 8 else 0).getbbox()
    if box is None:
        return None
    image = image.crop(box)
    image.thumbnail((side, side), Image.Resampling.LANCZOS)
    return image if min(image.size) >= 8 else None


def drawings(folders: tuple[str, ...] | list[str], least_bytes: int) -> list[Path]:
    """SVG files without text elements and without a name that hints at lettering."""
    found = []
    for folder in folders:
        for svg in sorted((CLIPART / folder).glob("*.svg")):
            size = svg.stat().st_size
            if size < least_bytes or size > 700_000 or LETTERED.search(svg.stem):
                continue
            if folder == "shapes/stars" and held_hash(svg.stem) % 12:
                continue
            if b"<text" not in svg.read_bytes():
                found.append(svg)
    return found


def held_hash(name: str) -> int:
    return int.from_bytes(hashlib.sha256(name.encode()).digest()[:4], "big")


def collect_icons(data: Path) -> list[dict[str, str]]:
    sources = drawings(ICON_FOLDERS, 0)
    with ThreadPoolExecutor(2) as pool:
        images = list(pool.map(lambda p: rasterised(p, 144), sources))
    rows = []
    for svg, image in zip(sources, images):
        if image is None:
            continue
        name = f"icons/{stem(str(svg.relative_to(CLIPART)))}.png"
        image.quantize(96, method=Image.Quantize.FASTOCTREE).save(data / name, optimize=True)
        group = re.sub(r"[_\d]+$", "", svg.stem)
        rows.append(dict(file=name, split=split_of(group), source=str(svg.relative_to(CLIPART))))
    return rows


def add_art(
    rows: list[dict[str, str]],
    data: Path,
    image: Image.Image,
    side: int,
    quality: int,
    kind: str,
    group: str,
    source: str,
) -> None:
    image = ImageOps.exif_transpose(image)
    if image.mode in ("RGBA", "LA", "P"):
        image = image.convert("RGBA")
        shade = held_hash(source)
        paper = Image.new("RGBA", image.size, tuple(90 + (shade >> s) % 166 for s in (0, 8, 16)))
        image = Image.alpha_composite(paper, image)
    image = image.convert("RGB")
    image.thumbnail((side, side), Image.Resampling.LANCZOS)
    if kind == "card":
        erase_indices(image, source.startswith("cards/"))
    name = f"art/{stem(source)}.jpg"
    image.save(data / name, quality=quality)
    rows.append(dict(file=name, split=split_of(group), kind=kind, group=group, source=source))


def erase_indices(image: Image.Image, large: bool) -> None:
    """Paints over the corners of a playing card: its values are text, which art must not hold."""
    w, h = image.size
    paper = image.getpixel((w // 2, round(h * 0.035)))
    cw, ch = (round(w * 0.3), round(h * 0.26)) if large else (round(w * 0.165), round(h * 0.2))
    for x in (0, w - cw):
        for y in (0, h - ch):
            image.paste(paper, (x, y, x + cw, y + ch))


def collect_art(data: Path, npm: Path) -> list[dict[str, str]]:
    rows: list[dict[str, str]] = []
    photos = [p for p in package_files("mate-backgrounds") if p.suffix in (".jpg", ".png")]
    photos += [
        p
        for p in package_files("palapeli-data")
        if p.suffix == ".jpg" and p.parent.name == "collection"
    ]
    for path in photos:
        if re.search(r"\d{4}x\d{4}|mate", path.name, re.I):
            continue
        add_art(rows, data, Image.open(path), 1300, 82, "photo", path.stem, path.name)
    sources = [p for p in drawings(ART_FOLDERS, 14_000)]
    with ThreadPoolExecutor(2) as pool:
        images = list(pool.map(lambda p: rasterised(p, 560), sources))
    for svg, image in zip(sources, images):
        if image is not None and min(image.size) >= 260:
            group = re.sub(r"[_\d]+$", "", svg.stem)
            add_art(rows, data, image, 560, 78, "drawing", group, str(svg.relative_to(CLIPART)))
    for deck in DECKS:
        for svg in sorted((CLIPART / "recreation/games/cards" / deck).glob("*.svg"))[::2]:
            image = rasterised(svg, 400)
            if image is not None:
                add_art(
                    rows, data, image, 400, 78, "card", "deck " + deck, f"cards/{deck}/{svg.name}"
                )
    for svg in sorted(npm.glob("playing-cards-standard-deck/cards/*.svg"))[::2]:
        image = rasterised(svg, 400)
        if image is not None:
            add_art(rows, data, image, 400, 78, "card", "deck standard", svg.name)
    for png in sorted(npm.glob("svg-cards/png/2x/*.png"))[::2]:
        add_art(rows, data, Image.open(png), 400, 78, "card", "deck svg-cards", png.name)
    return rows


def write_manifest(path: Path, rows: list[dict[str, str]]) -> None:
    with path.open("w", newline="") as out:
        writer = csv.DictWriter(out, list(rows[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)


def main() -> None:
    data, npm = Path(sys.argv[1]), Path(sys.argv[2])
    for folder in ("fonts", "art", "icons"):
        (data / folder).mkdir(parents=True, exist_ok=True)
    write_manifest(data / "fonts.csv", collect_fonts(data))
    write_manifest(data / "art.csv", collect_art(data, npm))
    write_manifest(data / "icons.csv", collect_icons(data))


if __name__ == "__main__":
    main()
