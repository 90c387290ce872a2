"""The project's words for what results say in codes: clauses of the rule of standing, attributes, states.

In: codes and names. Out: words for the maker. Never: computing.
"""

from __future__ import annotations

import re
from datetime import date

from doublure.model.insert import Place
from doublure.model.notes import RegisterNote
from doublure.trade.evidence.assess import Clause

ATTRIBUTE_WORDS = {
    "width": "width",
    "height": "height",
    "thickness": "thickness",
    "grammage": "grammage",
    "folded_width": "width when folded",
    "folded_height": "height when folded",
    "paper": "paper",
    "front": "artwork of the front",
    "back": "artwork of the back",
    "place": "place in the book",
    "colour": "colour",
    "wording": "wording",
    "lettering": "lettering",
    "folds": "folds",
    "printing": "printing",
    "held": "how it is held",
    "finish": "finish",
}

CLAUSE_WORDS = {
    Clause.ORIGINAL_IN_HAND: "the original is in hand",
    Clause.TWO_TO_SCALE: "two or more independent witnesses to scale agree",
    Clause.ONE_TO_SCALE: "one witness to scale",
    Clause.TWO_UNSCALED: "two or more independent witnesses, none to scale",
    Clause.ONE_UNSCALED: "one picture or description, not to scale",
    Clause.PERIOD_PRACTICE: "taken from period practice",
    Clause.OWN_CHOICE: "the maker’s own choice",
    Clause.DECIDED_OUTSIDE: "the decided value lies outside what the readings allow",
    Clause.DECIDED_AGAINST: "no reading says what was decided",
    Clause.DECIDED_ALONE: "decided without any reading",
    Clause.NUMBERS_DIFFER: "independent witnesses differ by more than chance allows",
    Clause.WORDS_CONTRADICT: "sources contradict each other",
    Clause.NOTHING: "nothing is known yet",
}

#: Fields that a note leaves out, as the question that they leave open.
MISSING_WORDS = {
    "kind": "What kind of source is it?",
    "held": "Who holds it?",
    "seen": "When was it looked at?",
    "rights": "May its picture be published?",
    "grammage": "How heavy is it, in g/m²?",
    "caliper": "How thick is one sheet?",
    "sheet": "How large are its sheets?",
    "grain": "Which way does its grain run?",
    "price": "What does it cost?",
    "artwork": "Where is its artwork?",
    "evidence": "Which evidence is it drawn from?",
    "contains": "What goes into it?",
    "wetness": "Is it wet or dry?",
    "drying": "How long does it dry?",
    "verdict": "Did the trial succeed?",
    "beside": "Beside which evidence was it held?",
    "reach": "How near to the edges does it print?",
    "prints": "Which side of a sheet in its tray does it print?",
    "lands": "Does the print come out face up or face down?",
    "turn": "About which edge are sheets turned for their backs?",
    "edition": "How many copies?",
    "leaf": "How large is a leaf?",
    "stock": "Which stock are the leaves?",
    "sequence": "Which pages follow which?",
}

#: The same fields in a word or two, for a list of what the notes leave out.
FIELD_WORDS = {
    "held": "where it is held",
    "seen": "when it was seen",
    "drying": "drying time",
    "sheet": "sheet size",
    "caliper": "caliper",
    "contains": "ingredients",
    "beside": "evidence it was held beside",
    "sequence": "page sequence",
    "leaf": "leaf size",
}

STATE_WORDS = {
    "research": "still being researched",
    "artwork": "artwork under way",
    "ready to make": "ready to make",
    "in making": "being made",
    "made": "made",
}

EVIDENCE_KIND_WORDS = {
    "original": "the original, in hand",
    "frame": "film frame",
    "spread": "published spread",
    "photograph": "photograph",
    "scan": "scan",
    "copy": "somebody’s copy",
    "description": "description",
    "measurement": "measurement",
    "": "kind not said",
}

REPRODUCES_CAUTION = {
    "money": "This piece resembles money. In many places the size, the sides, the colours and the marking of such "
    "a reproduction are laid down by law, and plates or files may have to be destroyed after use.",
    "stamp": "This piece resembles a stamp. Many postal and revenue authorities lay down how a reproduction must "
    "differ from a real one and how it must be marked.",
    "identity paper": "This piece resembles an identity paper or an official document. Making or carrying one can "
    "be an offence, whatever it is made for.",
}
DEFER_LAW = (
    "Rules differ from place to place and change. "
    "Ask the issuing authority or a lawyer before you make or send it."
)
DEFER_WORK = "Follow the product’s own data sheet and the rules where you work; leave to a trained person what needs one."


def attribute_word(name: str) -> str:
    """Return an attribute in words, or a field name with its underscores opened."""
    return ATTRIBUTE_WORDS.get(name, name.replace("_", " "))


def place_words(place: Place | None) -> str:
    """Return where an insert lies, in words; "" where nothing is said."""
    if place is None:
        return ""
    if place.between is not None:
        return f"between pages {place.between[0]} and {place.between[1]}"
    if place.on is not None:
        return f"on page {place.on}"
    return f"in the {place.pocket.removeprefix('the ')}" if place.pocket else ""


def count_words(count: int, one: str, many: str = "") -> str:
    """Return a count with its noun.

    Examples:
        >>> count_words(1, "copy", "copies"), count_words(3, "leaf", "leaves"), count_words(2, "sheet")
        ('1 copy', '3 leaves', '2 sheets')
    """
    return f"{count} {one if count == 1 else many or one + 's'}"


MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
    "November", "December",
)  # fmt: skip


def show_date(day: date, *, year: bool = True) -> str:
    """Return a date as it is read, such as "9 March 2031"."""
    words = f"{day.day} {MONTHS[day.month - 1]}"
    return f"{words} {day.year}" if year else words


def target_title(note: RegisterNote) -> str:
    """Return the title of a target that was read; one that was not named has its number and its day."""
    if note.title != note.id:
        return note.title
    tail = re.search(r"[0-9]{1,3}$", note.id)
    words = f"Target {tail.group()}" if tail is not None else "Target"
    return f"{words} of {show_date(note.date)}" if note.date is not None else f"{words}, {note.id}"
