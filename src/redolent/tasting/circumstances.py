"""How the taster is and how the room is: one tap each, kept beside the notes.

The room: what ISO 8589 asks of a test room, as far as a kitchen can be asked.
"""

TASTER = ("a cold", "hungry", "just eaten", "smoke or perfume near", "tired")
ROOM = ("stuffy air", "cooking smells", "dim or coloured light", "noise", "company")
LINE_SCALES = ("sweetness", "acidity", "bitterness", "body")
