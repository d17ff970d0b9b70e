"""Store the findings anew, after a change that is meant to change them: ``python tests/notebooks/store.py``."""

from pathlib import Path

import nbformat
from nbclient import NotebookClient

for path in sorted(Path(__file__).parent.glob("*.ipynb")):
    book = nbformat.read(path, 4)
    NotebookClient(book, kernel_name="python3").execute()
    for cell in book.cells:
        cell.metadata.pop("execution", None)
    nbformat.write(book, path)
    print(path.name)
