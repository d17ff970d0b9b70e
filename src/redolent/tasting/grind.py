"""A trial of three grinds: coarser, as set, finer; what to look for, and what to do next."""

from collections.abc import Mapping
from types import MappingProxyType

STEPS = (
    "Weigh three equal doses of one coffee. Grind one a step coarser, one as set, one a step finer; purge between.",
    "Pour the same water on all three at once, break at four minutes, skim, and wait until they are warm.",
    "Compare: a grind too coarse gives a thin, sour or papery cup and grounds that sink early; one too fine gives a "
    "bitter, dry or muddy cup and a crust that hardly sinks.",
    "Choose the cup that is sweetest and clearest.",
)

VERDICTS: Mapping[str, str] = MappingProxyType(
    {
        "coarser": "Set the grinder one step coarser, and try again round the new setting another day.",
        "as set": "Leave the grinder as it is, and write the setting down.",
        "finer": "Set the grinder one step finer, and try again round the new setting another day.",
        "no difference": "The steps are too small to matter: leave the grinder, or try again with larger steps.",
    }
)
"""Which cup was the best, and the next step (common practice, no source)."""
