"""The register of problem codes: what each means and what to do, for the handbook and for the tests.

In: nothing. Out: CODES. Never: finding problems (notes/ and checks/ do).
The letter says what a code is about: F files, Y YAML, K fields, Q quantities, R names of other notes,
W wording, P pictures, S sizes, B the book, A artwork, U register, E evidence and trials, M making.
"""

from __future__ import annotations

from dataclasses import dataclass

from doublure.problems import Severity


@dataclass(frozen=True, slots=True)
class ProblemCode:
    """One kind of problem.

    Attributes:
        code: Letter and number.
        title: A few words.
        severity: ERROR stops the build, WARNING does not.
        explanation: A paragraph for the handbook: what is wrong, and why it matters.
        remedy: What to do.
    """

    code: str
    title: str
    severity: Severity
    explanation: str
    remedy: str


#: What each letter stands for, in the order of the handbook.
GROUPS: dict[str, str] = {
    "F": "Files",
    "Y": "YAML",
    "K": "Fields",
    "Q": "Quantities",
    "R": "Names of other notes",
    "W": "Wording",
    "P": "Pictures",
    "S": "Sizes and thicknesses",
    "B": "The book",
    "A": "Artwork",
    "U": "Register",
    "E": "Evidence and trials",
    "M": "Making",
}


def _error(code: str, title: str, explanation: str, remedy: str) -> ProblemCode:
    return ProblemCode(code, title, Severity.ERROR, explanation, remedy)


def _warning(code: str, title: str, explanation: str, remedy: str) -> ProblemCode:
    return ProblemCode(code, title, Severity.WARNING, explanation, remedy)


_ALL = (
    _error("F101", "The file is not UTF-8",
           "Notes are read as UTF-8, which has every letter and sign. This file holds a byte that "
           "UTF-8 does not know, so its text would come out wrong.",
           "Open the file in an editor and save it as UTF-8."),
    _error("F102", "The file name cannot be an identifier",
           "The name of a file, without its ending, is what other notes call it by, and part of the "
           "address of its page. Capitals, spaces and other signs behave differently from one system "
           "to the next; a few names mean something else already, such as index.",
           "Rename the file: a to z, 0 to 9, and single hyphens between them."),
    _warning("F103", "No such folder of notes",
             "Each kind of note has its folder. A file in any other folder is not read, and most often "
             "the name of the folder has a slip of the pen in it.",
             "Move the file into one of the folders of notes, or out of the journal."),
    _warning("F104", "The file is not read",
             "At the top of the journal only the replica note and the book note are read, and a folder "
             "of notes holds its notes directly, without further folders.",
             "Move the file to where its kind of note belongs."),
    _error("F105", "The note cannot be opened",
           "The system did not hand over the file: it may be a link that leads nowhere or out of the "
           "journal, a folder with the name of a note, or closed to you.",
           "Look at the file where it lies; the message has the system's own words."),
    _error("F106", "The front matter is not closed",
           "A note that begins with a line of --- has its fields up to the next such line. There is "
           "none, so nobody can say where the fields end and the text begins.",
           "Write a line of --- after the last field."),
    _error("F107", "The name of a log entry has no date",
           "A log entry gets its day from its file name, so that the folder is in order by itself.",
           "Name the file year-month-day-what.md, such as 2031-03-14-press.md."),
    _error("F108", "There is no replica note",
           "A journal is about one replica, and the replica note says which. Without it there is no "
           "title to put over the site.",
           "Write journal/replica.yml with at least a title."),
    _error("F109", "Two files with one name",
           "Two files of one kind differ only in their ending, so that their name does not say which "
           "is meant.",
           "Keep one of them, or rename one."),
    _error("F110", "A private passage without its end or beginning",
           "What stands between {private} and {/private} is never published. Where one of the two "
           "marks is missing, nobody can say what is private, so the whole note is left out.",
           "Add the missing mark."),
    _error("F111", "The note is too long",
           "A note of more than a megabyte is no longer a note: as a rule something was pasted into it "
           "by mistake.",
           "Part it into several notes, and keep pictures in files of their own."),
    _error("Y101", "The YAML cannot be read",
           "The fields of a note are written in YAML, where colons, quotes, brackets and indentation "
           "carry meaning. At this place they contradict each other. The other fields were read all "
           "the same.",
           "See what stands at the caret, and put values with special signs in quotes."),
    _error("Y102", "A field is written twice",
           "The same field stands twice in one note or one group. YAML would silently take one of "
           "them.",
           "Keep one of the two."),
    _error("Y103", "Anchors and aliases",
           "YAML can repeat a value by an anchor (&) and an alias (*). A few lines of these can stand "
           "for more than a computer can hold, and a reader of the note has to look in two places.",
           "Write the value out; a text that begins with & or * goes in quotes."),
    _error("Y104", "Values nested too deep",
           "Lists and groups lie in each other deeper than any note needs.",
           "Write it flatter."),
    _error("Y105", "Too many values",
           "One note holds more values than any note needs. It would only make every reader wait.",
           "Part it into several notes."),
    _error("Y106", "A YAML tag",
           "A tag (!) tells YAML to take a value for a certain type. Here the field decides what its "
           "value is.",
           "Delete the tag; a text that begins with ! goes in quotes."),
    _error("Y107", "A second document",
           "A line of --- in a YAML file begins another document, and one file holds one note.",
           "Keep one note in a file."),
    _error("Y108", "A note without fields",
           "The file is empty, or is YAML, but a list or a single text instead of fields with their values.",
           "Write title: and a title, and the other fields below it."),
    _error("Y109", "A control character",
           "The file holds a sign that cannot be seen and has no meaning in a text. It usually comes "
           "in by copying from another program.",
           "Delete it, and write that line anew."),
    _error("Y110", "A key that is no word",
           "The name of a field is one plain word or a few, not a list or a group.",
           "Take the brackets away, or put a value with brackets in quotes."),
    _error("K101", "No such field",
           "This kind of note, or this group of fields, has no field of that name. It is refused, not "
           "ignored: most often it is a slip of the pen, and what was meant would be lost.",
           "Use the name that is proposed, or look it up in the table of fields. A field whose name "
           "ends in _private is always allowed, and dropped."),
    _error("K102", "A field is missing",
           "This note or group says nothing without the field that is named.",
           "Add it."),
    _error("K103", "Not the form of value that is wanted",
           "A list or a group of fields stands where a single value is wanted, or the other way round.",
           "Write the form that is proposed."),
    _error("K104", "None of the words to choose from",
           "The field takes one of a few words, and this is none of them.",
           "Write one of the words that are listed."),
    _error("K105", "Fields that contradict each other",
           "Fields that stand together cannot both be meant, or one of them is of no use without "
           "another.",
           "Keep the one that is meant, or add the other."),
    _error("K106", "No such attribute",
           "Readings, reasons and questions are about attributes of an insert, and this is none of "
           "them.",
           "Use the name that is proposed."),
    _error("K107", "A reading of nothing",
           "The entry names a source, but nothing that was seen in it, so that it says nothing.",
           "Add what was read, such as size: 64 x 121 mm."),
    _error("Q101", "Not the quantity that is wanted",
           "The value cannot be read as a length, size, weight, number, amount of money or duration, "
           "whichever the field takes. The caret stands under the part that cannot be read.",
           "Write it as proposed. Uncertainty may be added: 63.5 ± 1.5 mm, or a range: 62–65 mm."),
    _error("Q102", "A number without a unit",
           "A bare number could be millimetres or inches, grams or pounds. Nobody should have to "
           "guess.",
           "Write the unit behind the number."),
    _error("Q103", "Not a date",
           "A date is written year, month, day, so that it means the same day everywhere.",
           "Write it like 2031-03-14."),
    _error("R101", "No such note",
           "The name leads nowhere: there is no note of that name in the folder where it should lie.",
           "Use the name that is proposed, or write the note."),
    _error("R102", "A note of another kind",
           "There is a note of that name, but it is not of the kind that is wanted here.",
           "Name a note of the right kind."),
    _error("R103", "A name that means two notes",
           "Two notes in different folders have this name, and either could be meant.",
           "Write the name with its folder, such as inserts/tide-pass."),
    _error("R104", "Copied from itself",
           "Following from copy to copy one comes back to where one began. What was copied from what "
           "decides which sources are independent witnesses, so it must be right.",
           "Take away the copied_from of the one that was there first."),
    _error("R105", "Artwork across the gutter with three halves",
           "A master names a partner across the gutter that already belongs to another master.",
           "Let the two halves name each other, or let only one name the other."),
    _error("R106", "A master that is its own partner",
           "Artwork across the gutter has two halves, on two masters that face each other.",
           "Name the master of the facing page."),
    _error("R107", "A link that leads to no page",
           "A link in the text of a note leads to another note by its file, seen from this one: "
           "../inserts/tide-pass.md. Every note has a page but the log entries, which stand on the page of "
           "their month.",
           "Correct the path; the page of a note ends in .md whatever its file ends in."),
    _error("W101", "A bracket that is not closed, or closes nothing",
           "In the Leiden conventions brackets say what is lost, restored or supplied. They come in "
           "pairs, and one that was opened later is closed first.",
           "Add the missing bracket. One that stands on the paper itself is written with a backslash: "
           "\\(."),
    _error("W102", "A sign with nothing in it",
           "Brackets with nothing in them, or a dot below without a letter, say nothing.",
           "Write [...] with a dot for each letter that is lost, or [---] where nobody knows how many."),
    _error("P101", "The picture is missing",
           "The note names a picture that is not there.",
           "Put the file there, or correct the path. It begins inside the journal folder, such as "
           "pictures/front.jpg; capitals and small letters count."),
    _error("P102", "The picture lies outside the journal",
           "Only files of the journal, outside its private folder, are taken into the site.",
           "Copy the picture into journal/pictures and name it from there."),
    _error("P103", "The picture cannot be opened",
           "The system did not hand over the file: it may be a folder, or closed to you.",
           "Look at the file where it lies; the message has the system's own words."),
    _error("P104", "The file is no picture",
           "The file is not a picture of a kind that can be read, or it is damaged.",
           "Save it anew as PNG or JPEG."),
    _error("P105", "The picture is too large",
           "The picture has more pixels than can be handled safely. A file of a few kilobytes can "
           "claim to be a picture that fills the memory.",
           "Save it smaller."),
    _error("P106", "A picture in the text of a note",
           "The site shows the pictures that a note names in its fields: they are turned upright, freed from "
           "where and with what they were taken, and held back where rights say so. A picture in the text would "
           "pass all that by, and one at another host would be asked for by whoever reads the page.",
           "Copy the picture into journal/pictures and name it under pictures:."),
    _error("S101", "Caliper and grammage do not go together",
           "Thickness divided by grammage is the bulk. No paper or board is denser than cellulose with its "
           "filling (0.6 cm³/g) or looser than the softest tissue (4 cm³/g); outside of that one of the two "
           "figures is wrong, usually by its unit.",
           "Measure again: thickness with a gauge or as a stack, grammage by weighing a sheet."),
    _error("S102", "Stack and caliper do not go together",
           "The height of the stack divided by its sheets is another thickness than the stated one, by "
           "more than their uncertainties and the air in a stack allow.",
           "Count and measure the stack again, or leave out the caliper."),
    _error("S103", "Larger when folded",
           "The folded size is larger than the flat one, and folding makes nothing larger.",
           "Correct one of the two. Width and height are those one sees when the thing is the right "
           "way up."),
    _error("S104", "Larger than its sheet",
           "The piece does not fit on the sheet of its stock, whichever way it is turned.",
           "Correct a size, or choose a stock that is sold larger."),
    _warning("S105", "Standing out that cannot be",
             "What is said of how the insert stands out of the book, how large it is and where it lies "
             "cannot all be.",
             "Correct one of the figures."),
    _error("S106", "A fold outside the piece",
           "The fold lies beyond the edge of the flat piece.",
           "Measure from the left edge for a fold along the height, from the head for one along the "
           "width."),
    _warning("S107", "Numbers that do not fit the edition",
             "The numbers from the first to the last are not as many as there are pieces in the edition.",
             "Correct the first or the last number, or the edition."),
    _warning("S108", "An unusual bulk",
             "Thickness divided by grammage is the bulk. This one can be, but few papers have it.",
             "Measure again; if both figures hold, leave them as they are."),
    _error("S109", "The long side of a square",
           "The grain is said to run along the longer or shorter side of a sheet that has neither.",
           "Write none, or correct the size of the sheet."),
    _warning("S110", "Artwork smaller than its piece",
             "The artwork is printed at a size that leaves an edge of the page or insert bare.",
             "Correct one of the two sizes; without a size the artwork takes that of its page or insert."),
    _warning("B101", "The pages do not fill the gatherings",
             "Folded sheets have four pages each. The sequence has fewer pages than its gatherings hold. "
             "Nothing is added silently: a blank page is part of the book.",
             "Add the blanks where they belong in the sequence."),
    _error("B102", "More pages than the gatherings hold",
           "The gatherings are listed, and hold fewer pages than the sequence has.",
           "Add sheets to a gathering, or take pages out of the sequence."),
    _error("B103", "A page that is not in the book",
           "The place of an insert names a page that the book does not have.",
           "Correct the page, or the sequence."),
    _error("B104", "Pages that do not face each other",
           "An insert lies between two pages only where they face each other: an even page and the odd "
           "one after it. The two pages of one leaf have nothing between them.",
           "Name the two pages of one opening, such as 22 and 23."),
    _error("B105", "Two inserts in one place",
           "Several inserts lie in one place, and nothing says in which order a reader meets them.",
           "Give each an order: 1 for the first that a reader meets."),
    _warning("B106", "The partner across the gutter is not on the facing page",
             "A master has artwork across the gutter, but somewhere in the book the facing page does not "
             "carry its partner, so that only half of the artwork is seen.",
             "Put the partners on facing pages, or take the crossover away."),
    _error("B107", "The sequence cannot be worked out",
           "The page sequence makes more pages than any book has, or a leaf tipped in would begin on "
           "the back of another leaf.",
           "Look for a repeat within a repeat, and count the pages before a tipped leaf: they must be "
           "even."),
    _error("B108", "Gatherings without end",
           "The gatherings hold more pages than any book has.",
           "Write the sheets of a gathering, not its pages."),
    _error("B109", "A gathering, stack, plate or page that the book does not have",
           "A log entry, a trial or a source names a gathering, a stack, a plate or a page by its number, and "
           "the book has fewer. What is logged about it would be found nowhere.",
           "Correct the number, or the page sequence in book.yml."),
    _warning("B110", "The folding does not go with the gatherings",
             "A sheet that is folded twice or three times is a small gathering by itself: its 8 or 16 pages, times "
             "the sheets of a gathering, are more than fold and sew well. And of its leaves some hang together at a "
             "folded edge until that is slit, so that nothing can be tipped in between them before.",
             "Take fewer sheets for a gathering, or slit the fold before the leaf is tipped in."),
    _error("B111", "Cut before it is folded, and folded twice",
           "Several leaf pairs on one sheet are cut apart and then folded once each. A quarto or octavo is folded "
           "as the whole sheet that it is.",
           "Write folding: folio, or leave pairs out."),
    _error("B112", "The sheet is too small for its pages",
           "The sheet that is printed has no room for the pages that its folding puts on it, whichever way it lies; "
           "or it does not come out of the stock.",
           "Use a larger sheet, fewer leaf pairs, or another folding."),
    _warning("B113", "Several printers, and none is named",
             "Each printer has its own reach, its own way of turning sheets and its own register, and the book does "
             "not say on which it is printed.",
             "Name it: press: {printer: NAME}."),
    _warning("B114", "The fold runs against the grain",
             "Paper folds and opens well along its fibres. Folded across them at the spine it cracks, and the book "
             "stands open. Here the fibres run across the spine however the sheet is laid.",
             "Use a sheet of the other grain, or a folding that turns the pages; for thin soft paper it may do."),
    _warning("B115", "Wishes for the gatherings that cannot be met",
             "What is asked of the gatherings under choose contradicts itself or the book, so that no plan can "
             "meet it, or it says nothing.",
             "Allow more, or take back one of the wishes."),
    _warning("B116", "No room for marks or bleed",
             "Round the pages the sheet has no room for all of the bleed, for marks to cut, fold or slit by, for "
             "register crosses or for the label that tells one stack from another. What finds no room is left out, so "
             "that sheets must be folded edge to edge, measured and told apart by hand.",
             "Use a larger sheet or, where no artwork runs to the trim, write bleed: 0."),
    _warning("A101", "The artwork is missing",
             "The artwork file of a master is not there, lies outside the journal, or cannot be opened. The plates "
             "that carry this master are left out; all others are made.",
             "Put the file there, or correct the path. It begins inside the journal folder, such as "
             "artwork/ruled.png; capitals and small letters count."),
    _warning("A102", "The artwork is torn",
             "The file begins like a picture or a PDF and ends too early, as when copying was broken off. Half a "
             "page is not printed.",
             "Save or copy the file anew."),
    _warning("A103", "Colours that are not taken onto plates",
             "The picture is in the four process colours, or has more than 8 bits a colour. Turned into what an office "
             "printer takes, it would come out otherwise than you saw it, so nobody does that behind your back.",
             "Save it as black and white, as grey, or as RGB, with 8 bits a colour, and look at it again."),
    _warning("A104", "A PDF whose page cannot be taken",
             "The PDF is encrypted, so that nobody without its password sees its page, or it has no page at all.",
             "Save the page anew, without a password."),
    _warning("A105", "Not a kind of file that is printed",
             "Onto plates go pictures (PNG, TIFF, JPEG and the like) and pages of PDF. This file moves, holds several "
             "pages or pictures, is an SVG or no picture at all, or is larger than can be handled safely.",
             "Save drawings as a PDF page of the right size, pictures as PNG or TIFF."),
    _warning("A106", "Artwork of other proportions than its page",
             "Printed at the size of its page the artwork would be stretched, or cropped where nobody meant it.",
             "Crop or draw it to the proportions of the page, say how much bleed it has, or give its size."),
    _error("U101", "A mark that the target does not have",
           "A reading of register says of each mark of the target how far its back lies from its front. The marks "
           "have names of a letter and a number, printed beside them, and which there are goes by the sheet.",
           "Write the name that is printed beside the mark, such as A1, and the sheet as the target was made for it."),
    _warning("U102", "Too few marks",
             "A shift alone could be read from one mark; how far the back is turned, and how much larger or smaller "
             "it is, takes three at least.",
             "Read more marks, best those in the corners and in the middle."),
    _error("U103", "Further off than can be",
           "A back that lies a centimetre off was fed the wrong way round or read with the decimal point in another "
           "place. Backs corrected by it would all be spoiled.",
           "Look at the reading again; a sheet that was fed the wrong way says nothing of the machine."),
    _warning("U104", "A reading of no machine",
             "Register belongs to one printer and one stock: heat shrinks each paper in its own way between the two "
             "passes. A reading that does not say both counts for nothing.",
             "Add printer: and stock:."),
    _warning("U105", "A sheet given twice",
             "Two readings of register are of one picture, or have the same offsets mark by mark. Counted as two "
             "sheets they would make the printer look steadier than it is, so they count as one.",
             "Keep one of the two, or read another sheet."),
    _warning("E101", "Read twice",
             "Two readings of one attribute from one source with different values. They count as one "
             "witness; the second look does not make the source more certain.",
             "Keep the better one, or say in its remark what differs."),
    _warning("E102", "Rejected, and yet approved",
             "The trial's verdict is not approved, but it names things that may be made after it.",
             "Correct the verdict, or take approves away."),
    _error("E103", "Stems that contradict each other",
           "A source was copied from another, and the two are said to have different stems. Whatever "
           "was copied is on the stem of what it was copied from.",
           "Name the stem only once, at the source that others were copied from."),
    _error("E104", "Assumed and chosen at once",
           "An attribute is taken either from the practice of the period or from the maker's own "
           "choice.",
           "Keep one of the two reasons."),
    _warning("E105", "One picture as two witnesses",
             "Two evidence notes on different stems hold the very same picture. What is read from it would "
             "count twice.",
             "Give both the same stem, or say which was copied from which."),
    _warning("M101", "Printing that may not stand the finish",
             "The finish names the printing processes that stand it, and the piece is printed by another.",
             "Try it on a spoiled piece first, or print the piece otherwise."),
)  # fmt: skip

#: Every code that a problem may have.
CODES: dict[str, ProblemCode] = {entry.code: entry for entry in _ALL}
