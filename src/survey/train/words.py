# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""What the drawn lines say: words, numbers and signs as they stand on cards.

The net must learn letter shapes, not a vocabulary, so about a third of all words are random
letters, and accented letters of several Latin-script languages are mixed in.
"""

from __future__ import annotations

import random

PLAIN = (
    "the of and a to in is you that it for on as with at this card draw discard gain lose pay "
    "move take place keep roll turn round moth lamp orchard night wing seed row token player hand "
    "deck may must each any one two three once per end when then score points value cost swap "
    "trade reveal hide flip stack shuffle store market garden bloom frost hive branch path lantern "
    "keeper event relic beast storm harvest season if you have no more than choose another gather "
    "dusk dew bark owl root pollen cocoon silk moon shade ember quiet hollow ladder basket gate"
).split()
ACCENTED = (
    "Nachtfalter Blüte für über Mühe große Äste Öl ernte fée mûre forêt près où ça été naïve cœur "
    "année niño polilla canción jardín ¿qué? señal łąka ćma księżyc żar noc zahrada můra měsíc "
    "květ příběh ősz éjjel kertész fűz sjö åker ø gård ærlig lua maçã coração não pomar notte "
    "perché più giù città þing ðagur bărbat noapte grădină şarkı göl ışık ağaç gece nuit čaj žába"
).split()
SIGNS = (
    "+1 -2 x3 2/4 No. (A) I II IV VI & 1-3: 50% #7 3+ 1st 2nd 4th =2 <5 >3 @ 2x (5) [3] {1} *"
).split()
LETTERS = "abcdefghijklmnopqrstuvwxyz"
FREQUENT = "etaoinshrdlucmfwypvbgkjqxz"
CAPITALS = LETTERS.upper()


def random_word(rng: random.Random) -> str:
    """Letters with no meaning, so that no shape of a word can be learned by heart."""
    source = FREQUENT[:14] + LETTERS if rng.random() < 0.8 else LETTERS + CAPITALS + "0123456789"
    word = "".join(rng.choice(source) for _ in range(rng.randint(2, 10)))
    return word.capitalize() if rng.random() < 0.15 else word


def word(rng: random.Random, accents: bool) -> str:
    """One word with its punctuation; `accents` says whether the font has accented letters."""
    q = rng.random()
    if q < 0.48:
        text = rng.choice(PLAIN)
        if rng.random() < 0.12:
            text = text.capitalize()
    elif q < 0.60 and accents:
        text = rng.choice(ACCENTED)
    elif q < 0.68:
        text = str(rng.randint(0, 120))
    elif q < 0.73:
        text = rng.choice(SIGNS)
    else:
        text = random_word(rng)
    if rng.random() < 0.12:
        text += rng.choice([",", ".", ":", ";", "!", "?", "'s", ")"])
    return text


def phrase(rng: random.Random, count: int, accents: bool) -> str:
    """`count` words, sometimes in capitals or title case; at least two glyphs."""
    text = " ".join(word(rng, accents) for _ in range(count))
    q = rng.random()
    if q < 0.13:
        text = text.upper()
    elif q < 0.24:
        text = text.title()
    elif q < 0.6:
        text = text[:1].upper() + text[1:]
    return text if len(text.replace(" ", "")) >= 2 else text + "ow"


def number(rng: random.Random) -> str:
    """A short value as it stands in a corner or a badge: one to three glyphs."""
    q = rng.random()
    if q < 0.5:
        return str(rng.randint(0, 9))
    if q < 0.68:
        return str(rng.randint(10, 99))
    if q < 0.76:
        return rng.choice("+-") + str(rng.randint(1, 9))
    if q < 0.84:
        return rng.choice(CAPITALS)
    if q < 0.9:
        return rng.choice(["x2", "x3", "2x", "1/2", "3/4", "50", "100", "?", "!", "&", "II", "V"])
    return str(rng.randint(100, 999))


def cell(rng: random.Random) -> str:
    """The content of a table's cell that holds a number."""
    q = rng.random()
    if q < 0.35:
        return str(rng.randint(10, 99))
    if q < 0.5:
        return str(rng.randint(0, 99))
    if q < 0.72:
        return str(rng.randint(100, 99999))
    return rng.choice(["%d.%d", "%d/%d", "%d-%d", "%d:%02d"]) % (
        rng.randint(0, 40),
        rng.randint(0, 60),
    )


def is_mark(text: str) -> bool:
    """True for what the survey reports as a mark: one glyph, or a number of up to three."""
    bare = text.replace(" ", "")
    if len(bare) <= 1:
        return True
    return len(bare) <= 3 and not any(c.isalpha() and c not in "xX" for c in bare)
