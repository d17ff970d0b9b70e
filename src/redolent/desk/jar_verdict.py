"""What jars show once they are open, as HTML: what each held, what was taken for what, what was near."""

from redolent.desk.panel import safe
from redolent.lexicon import Lexicon
from redolent.practice import Smelled


def tell_smelled(found: Smelled, lexicon: Lexicon) -> str:
    """Write the finding, the answers, the matrix and the near misses."""
    return (
        f"<p class='rd-sentence'>{safe(found.finding)}</p>{_list_answers(found, lexicon)}"
        f"<h3>What was taken for what</h3>{_matrix(found, lexicon)}{_near(found, lexicon)}"
    )


def _list_answers(found: Smelled, lexicon: Lexicon) -> str:
    rows = "".join(
        f"<tr><td>{one.code}</td><td>{safe(lexicon[one.node].label)}</td><td>{safe(one.text)}</td>"
        f"<td>{safe(lexicon[one.answered].label if one.answered else 'no word read')}</td></tr>"
        for one in found.answers
    )
    return f"<table><tr><th>Jar</th><th>It held</th><th>You wrote</th><th>Read as</th></tr>{rows}</table>"


def _matrix(found: Smelled, lexicon: Lexicon) -> str:
    def name(place: str) -> str:
        return safe(lexicon[place].label if place in lexicon else place)

    heads = "".join(f"<th scope='col'>{name(place)}</th>" for place in found.matrix.columns)
    rows = "".join(
        f"<tr><th scope='row'>{name(place)}</th>" + "".join(f"<td>{count or ''}</td>" for count in counts) + "</tr>"
        for place, counts in zip(found.matrix.index, found.matrix.to_numpy().tolist(), strict=True)
    )
    return (
        "<div class='rd-wide'><table><caption>Rows: what was in the jars. Columns: what was answered."
        f"</caption><tr><th></th>{heads}</tr>{rows}</table></div>"
    )


def _near(found: Smelled, lexicon: Lexicon) -> str:
    told = [
        f"<li>{safe(lexicon[node].label)} taken for {safe(lexicon[other].label)}: both at "
        f"{safe(_shared(node, other, lexicon))}</li>"
        for node, other, _ in found.near
    ]
    return f"<h3>Near misses</h3><ul>{''.join(told)}</ul>" if told else ""


def _shared(one: str, other: str, lexicon: Lexicon) -> str:
    ways = [[*(above.id for above in lexicon.ancestors(node)), node] for node in (one, other)]
    return lexicon.place([a for a, b in zip(*ways, strict=False) if a == b][-1])
