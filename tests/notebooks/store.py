"""Store the findings anew, after a change that is meant to change them: ``python tests/notebooks/store.py``."""

from pathlib import Path

import nbformat
from nbclient import NotebookClient


def join_streams(outputs: list[nbformat.NotebookNode]) -> list[nbformat.NotebookNode]:
    """Join what was printed in pieces: where it is cut is chance."""
    joined: list[nbformat.NotebookNode] = []
    for output in outputs:
        if joined and output.get("name") and output.get("name") == joined[-1].get("name"):
            joined[-1].text += output.text
        else:
            joined.append(output)
    return joined


for path in sorted(Path(__file__).parent.glob("*.ipynb")):
    book = nbformat.read(path, 4)
    NotebookClient(book, kernel_name="python3").execute()
    for cell in book.cells:
        cell.metadata.pop("execution", None)
        if "outputs" in cell:
            cell.outputs = join_streams(cell.outputs)
    nbformat.write(book, path)
    print(path.name)
