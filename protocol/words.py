"""Three plain words for a key, so that two people can tell by ear and eye that they mean the same station.

The words only keep courts apart that stand side by side: 24 bits can be imitated by someone who tries.
What keeps strangers out is the code, which is bound to the whole certificate.
"""

from __future__ import annotations

import hashlib
from typing import Final

WORD_COUNT: Final = 3
_DOMAIN: Final = b"crewlink words 1\0"

_LIST: Final = """
acorn airport almond anchor apple apron arrow autumn bacon badge bakery ball bamboo banana barn
basket beach bean bear bell bench berry bicycle bird biscuit blanket boat bonfire book boot bottle
branch bread brick bridge broom brush bubble bucket butter button cabin cactus cake camel camera
candle canoe cap carpet carrot castle cat ceiling cellar cherry chess chimney circus clock cloud
clover coat coconut coffee comb cookie copper corner cotton cradle crayon cricket crown cup curtain
daisy desert desk diamond dolphin donkey door dragon drum duck eagle earth egg elbow elephant engine
evening falcon farm feather fence fern ferry finger fish flag flute forest fork fountain fox frog
garden garlic gate giant ginger giraffe glove goat gold grape grass guitar hammer harbour hat hedge
helmet hill honey horse house igloo island ivory jacket jam jelly jigsaw jungle kettle key king
kitchen kite kitten ladder lake lamp lantern lemon lettuce library lion lizard lobster magnet mango
maple market marble meadow melon milk mirror monkey moon morning mountain mouse muffin museum
mushroom nail needle nest night noodle nut oak ocean olive onion orange orchard otter oven owl
paddle paint palace pancake panda parrot peach peanut pebble pencil penguin pepper piano picnic
pillow pilot pine pirate pizza planet plum pocket pond pony potato pumpkin puppet puzzle queen
rabbit radio rain raven ribbon rice river robin rocket roof rope rose saddle salad salt sand scarf
school sheep shell ship shoe silver snail snow soap spider spoon spring squirrel stable star stone
summer sugar table tent tiger toast tomato tower train
"""
WORDS: Final = tuple(_LIST.split())


def words_of(certificate: bytes) -> str:
    """The words of a certificate (DER), parted by blanks; the same on every screen."""
    digest = hashlib.sha256(_DOMAIN + certificate).digest()
    return " ".join(WORDS[byte] for byte in digest[:WORD_COUNT])
