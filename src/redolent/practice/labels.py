"""What is printed for a jar exercise: what to buy and prepare, labels with codes, and the sealed key.

That samples are presented in closed containers under codes, set to rest before they are smelled and separated by
pauses, follows ISO 5496 (initiation and training of assessors in the detection and recognition of odours), from memory.
"""

from redolent.blind import Seal
from redolent.blind.page import bullets, document, plain, table
from redolent.lexicon import Lexicon
from redolent.practice.household import Household
from redolent.practice.jars import JarSet

REST_MINUTES = 10
ADVICE = (
    f"Cover each jar at once and let it stand {REST_MINUTES} minutes, so that the air in it fills with the smell.",
    "Take jars that look alike; wrap them in foil or paper, so that only the nose can tell.",
    "Uncover, take two or three short sniffs, cover again, and rest half a minute before the next jar.",
    "Alone: put the labels under the jars, shuffle them with your eyes shut, and look at a code only once its jar "
    "is answered.",
)
_LABELS = ".label { display: inline-block; border: 1px dashed #6b7280; padding: 1.2rem 1.6rem; margin: .3rem; \
font-size: 2rem; font-variant-numeric: tabular-nums; break-inside: avoid }"


def shopping_page(jars: JarSet, household: Household, lexicon: Lexicon) -> str:
    """Write what to buy and how to prepare it, in the lexicon's order, which tells nothing of the codes."""
    held = set(jars.key.values())
    rows = []
    for node in lexicon.values():
        if (ref := node.reference) is not None and node.id in held:
            allergens = ", ".join(node.allergens) or "none known; read the label"
            rows.append(
                [f'<span class="prep">{plain(said)}</span>' for said in (ref.what, ref.amount, ref.present, allergens)]
            )
    return document(
        "Jars: what to buy and prepare",
        "<p>For whoever prepares the jars. Who smells them should not read it, if somebody else can prepare.</p>",
        table(("", "Buy", "Amount", "Prepare", "Allergens"), rows),
        bullets(*ADVICE),
        "<h2>Cautions</h2>",
        bullets(*household.cautions),
        style=".prep { white-space: normal } td { white-space: normal }",
    )


def label_page(jars: JarSet, commitment: str) -> str:
    """Write the labels to cut out, codes only, with the commitment of the key."""
    return document(
        "Jars: labels",
        "<p>Cut out one label a jar.</p>",
        "<div>" + "".join(f'<span class="label">{plain(code)}</span>' for code in sorted(jars.codes)) + "</div>",
        f"<p>Smell them in this order: {', '.join(map(plain, jars.codes))}.</p>",
        f'<p class="small">The key was sealed beforehand. Its commitment (SHA-256):<br>'
        f'<span class="seal">{plain(commitment)}</span></p>',
        style=_LABELS,
    )


def key_page(jars: JarSet, seal: Seal, lexicon: Lexicon) -> str:
    """Write the key: which reference belongs under which code, and the nonce that opens the seal."""
    rows = []
    for jar in jars.jars:
        node = lexicon[jar.node]
        assert node.reference is not None  # pick_jars takes no other
        rows.append([plain(jar.code), plain(node.label), plain(node.reference.what)])
    return document(
        "Jars: key",
        '<p class="secret">Keep it from whoever smells until the last answer is locked.</p>',
        table(("", "Code", "Named", "In the jar"), rows),
        '<p class="small">Commitment (SHA-256), as on the labels:<br>'
        f'<span class="seal">{plain(seal.commitment)}</span></p>'
        '<p class="small">Nonce, which opens it:<br>'
        f'<span class="seal">{plain(seal.nonce)}</span></p>',
    )
