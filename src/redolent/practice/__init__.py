"""Practice between tastings: drills of words and places, jars smelled blind, and when each is due again."""

from redolent.practice.apart import Pair, find_pairs
from redolent.practice.household import Household
from redolent.practice.jars import Jar, JarSet, pick_jars
from redolent.practice.labels import key_page, label_page, shopping_page
from redolent.practice.place import PlaceAnswer, PlaceQuestion, ask_place, judge_place
from redolent.practice.recall import Recall, RecallQuestion, ask_recall, judge_recall
from redolent.practice.schedule import DRILLS, Card, compose_session, grade, list_cards, list_due
from redolent.practice.sharpen import Sharpened, VagueNote, ask_vague, judge_sharpened
from redolent.practice.smelled import JarAnswer, Smelled, clopper_pearson, judge_jars, read_answer

__all__ = [
    "DRILLS",
    "Card",
    "Household",
    "Jar",
    "JarAnswer",
    "JarSet",
    "Pair",
    "PlaceAnswer",
    "PlaceQuestion",
    "Recall",
    "RecallQuestion",
    "Sharpened",
    "Smelled",
    "VagueNote",
    "ask_place",
    "ask_recall",
    "ask_vague",
    "clopper_pearson",
    "compose_session",
    "find_pairs",
    "grade",
    "judge_jars",
    "judge_place",
    "judge_recall",
    "judge_sharpened",
    "key_page",
    "label_page",
    "list_cards",
    "list_due",
    "pick_jars",
    "read_answer",
    "shopping_page",
]
