"""The coach: one quiet question that narrows a vague word. It asks only after the note is locked."""

from redolent.coach.question import Question, ask

__all__ = ["Question", "ask"]
