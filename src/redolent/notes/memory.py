"""What was worked out for a word, remembered: people write the same few thousand words again and again."""

from collections.abc import Callable
from typing import TypeVar

Answer = TypeVar("Answer")

# Beyond this many words all are forgotten, and a longer one is not kept: a note of nonsense must not fill the memory.
MOST = 200_000
LONGEST = 40


class Memory(dict[str, Answer]):
    """A mapping that asks once for each word and remembers the answer.

    Parameters
    ----------
    ask : callable
        Works out the answer for a word; it depends on the word alone.
    """

    def __init__(self, ask: Callable[[str], Answer]) -> None:
        super().__init__()
        self._ask = ask

    def __missing__(self, word: str) -> Answer:
        answer = self._ask(word)
        if len(word) <= LONGEST:
            if len(self) > MOST:
                self.clear()
            self[word] = answer
        return answer
