"""The classroom: many journals' frames in, small results out.

Each result has ``.finding``, ``.numbers`` and ``to_frame()``; those that name people have ``tell(names=False)`` for
what the whole class may see and ``tell_of(taster)`` for one. None of them is a ranking: people stand by name, each
against their own past.
"""

from redolent.classroom.agreement import MentionAgreement, agree_on_mentions
from redolent.classroom.apart import Apart, find_apart
from redolent.classroom.attendance import Attendance, take_attendance
from redolent.classroom.change import Changes, find_changes
from redolent.classroom.checklist import CHECKS, Agreement, agree_on_checks, answer_checklist, list_unchecked
from redolent.classroom.coffee import CoffeeSaid, hear_coffee, shared_coffees
from redolent.classroom.exercise import (
    Exercise,
    SetExercise,
    Task,
    answer_words,
    hand_out,
    list_begun,
    list_checks,
    list_exercises,
    note_begun,
    open_exercise,
    read_answers,
    read_exercise,
    send_back,
    set_exercise,
    tell_tracked,
    track_exercise,
    write_exercise,
)
from redolent.classroom.gathering import Gathered, gather
from redolent.classroom.marks import PanelMarks, mark_panel
from redolent.classroom.review import ClassReview, review_class, review_frames
from redolent.classroom.said import list_meetings, list_said, read_class
from redolent.classroom.swaps import Swaps, find_swaps
from redolent.classroom.triangles import ClassTriangles, pool, pool_triangles

__all__ = [
    "CHECKS",
    "Agreement",
    "Apart",
    "Attendance",
    "Changes",
    "ClassReview",
    "ClassTriangles",
    "CoffeeSaid",
    "Exercise",
    "Gathered",
    "MentionAgreement",
    "PanelMarks",
    "SetExercise",
    "Swaps",
    "Task",
    "agree_on_checks",
    "agree_on_mentions",
    "answer_checklist",
    "answer_words",
    "find_apart",
    "find_changes",
    "find_swaps",
    "gather",
    "hand_out",
    "hear_coffee",
    "list_begun",
    "list_checks",
    "list_exercises",
    "list_meetings",
    "list_said",
    "list_unchecked",
    "mark_panel",
    "note_begun",
    "open_exercise",
    "pool",
    "pool_triangles",
    "read_answers",
    "read_class",
    "read_exercise",
    "review_class",
    "review_frames",
    "send_back",
    "set_exercise",
    "shared_coffees",
    "take_attendance",
    "tell_tracked",
    "track_exercise",
    "write_exercise",
]
