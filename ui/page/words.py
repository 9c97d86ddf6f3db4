"""Every English sentence of the pages, in one place, so that they can be translated.

Words that records and answers bring with them (relations, verdicts, statuses) are not
here: they belong to the fixed words of the trade in `graph/record/word.py`.
"""

from ..language import translatable

APP = "Vestige"
NONE = "not recorded"

# sidebar
WORKING_AS = "Working as"
VIEWS = ("conservator", "registrar", "researcher")
VIEW_HELP = "Chooses what the start page shows first. It opens nothing that is closed."
KNOWN = "As known on"
KNOWN_HELP = (
    "A day, as 2024-03-01. Every page then answers as the archive would have answered at "
    "its end. Empty: now."
)
KNOWN_NOW = "now"
SEARCH = "Find"
SEARCH_HELP = "A number, the code of a label, or words. Scanners type here."
LARGE = "Large buttons (bench, gloves)"
LANGUAGE = "Language"
LANGUAGE_HELP = (
    "Of these pages, dates and numbers. What was recorded stays as it was written; what "
    "Vestige answers in sentences is in English."
)
RECORDING_AS = "Recording as (role)"
RECORDING_HELP = "Role under which what you enter is recorded, as in your sheet Roles."
MACHINE_ONLY = "This machine only, one user, no sign-in."
READING_PUBLIC = "Reading as the public: restricted content is closed."
READING_AS = "Reading as {role}, as chosen at the start with --as; taken at its word."
RECORD_ENDS = "Record: {mark}"
AS_KNOWN_ON = "as known on {day}"
AS_KNOWN_BAR = (
    "Everything on this page is as known on {day}. Clear the day to see it as now."
)

# names of pages
TODAY, FIND, OBJECT, OBSERVE = "Today", "Find", "Object", "Record an observation"
KEPT, QUESTIONS, CHANGES, BRING = (
    "Removed and kept",
    "Conflicts and questions",
    "What changed",
    "Bring in sheets",
)
ELEMENT, RECORD = "Element", "One record"

# common
MORE_ROWS = "{shown} of {all} rows are shown; the saved table has them all."
SAVE_TABLE = "Save as table (CSV)"
SAVE_DRAWING = "Save drawing (SVG)"
AS_TABLE = "The same as a table"
CAUTIONS = "Cautions"
NOT_WITHOUT = "not without the authority's word:"
ASK = "ask"
BASIS = "basis"
SOURCE = "source"
COPY_OF = "a copy of"
RIVAL = "other explanation"
SINCE, IN, BY = "since", "in", "by"
HOLDER_SEEN = "its holder, not itself"
NOT_FOUND = "Nothing can be shown here"
CHOOSE, CHOOSE_OR_WRITE, SEARCH_FOR = "Choose", "Choose or write", "Number or words"
CHOOSE_OBJECT = "Choose an object"
NOTHING = "Nothing."
NO_DECISION = (
    "A verdict is a computation from what is recorded. The decision is a person's; "
    "Vestige recommends no treatment."
)

# today
TODAY_UNDER = {
    "conservator": "What is open on the objects, and what waits to be looked at.",
    "registrar": "What has no known place, what is due, and where things lie.",
    "researcher": "What there is, what is asked, and what contradicts itself.",
}
MISSING_HEAD = "Without a known place"
MISSING_HEADS = ("Thing", "From", "Why", "Last seen")
DUE_HEAD = "Due or overdue"
DUE_HEADS = ("Thing", "What", "When", "Standing", "Ask")
UNDATED = "{count} kept things have no review date."
OPEN_HEAD = "Verdicts that are open"
OPEN_HEADS = ("Element", "Object", "Verdict")
NOT_RECKONED = "Not reckoned on this page: {names}. Open the object to see its verdicts."
OBJECTS_HEAD = "Objects"
OBJECTS_HEADS = ("Object", "Made", "Elements", "Taken off or sampled")
ASKED_HEAD = "Open questions"
ASKED_HEADS = ("Question", "About", "What would settle it")
SHELVES_HEAD = "Boxes, cabinets and places"
SHELVES_HEADS = ("Container or place", "Lies in")
DRAFT_GO = "Go on with it"

# first run
FIRST_TITLE = "An empty archive"
FIRST_UNDER = "Three steps to a first verdict; ten minutes with an object before you."
FIRST_1 = "1. Take the workbook"
FIRST_1_SAID = (
    "It has a sheet for each kind of thing. Two are enough to begin with: Elements and "
    "Observations. The second file is the same, with an invented writing box filled in."
)
FIRST_EMPTY, FIRST_EXAMPLE = "Empty workbook (XLSX)", "Workbook with an example (XLSX)"
FIRST_2 = "2. Bring it in"
FIRST_2_SAID = (
    "Choose the filled workbook under Bring in sheets. Every mistake is named with its "
    "sheet, row and column before anything is recorded. Nothing leaves this machine."
)
FIRST_2_EXAMPLE = "Or record the invented example now, to see how it reads"
FIRST_3 = "3. Read the verdicts"
FIRST_3_SAID = "Then open the object: a verdict for every element, and why."

# object
OBJECT_UNDER = "{made} · {elements} elements"
VIEW = "Look at"
VIEW_ELEMENTS, VIEW_ORDER, VIEW_ARRANGED, VIEW_PLACES, VIEW_REPORT = (
    "Elements",
    "Order of layers and events",
    "Arrangements",
    "What was taken off",
    "Report",
)
OBJECT_VIEWS = (VIEW_ELEMENTS, VIEW_ORDER, VIEW_ARRANGED, VIEW_PLACES, VIEW_REPORT)
VERDICTS_OF = "What is original, {number}"
ARRANGED_OF = "Arrangements, {number}"
SORTS = {
    "part": "Parts",
    "fixing": "Fixings",
    "layer": "Layers",
    "feature": "Features",
    "absence": "Looked for and not seen",
}
STATUS_LACKS = "status not recorded"
VERDICT_HEADS = ("Element", "Verdict", "How sure", "Status", "The rival view")
CHOOSE_ELEMENT = "Choose an element in the drawing or the table to see why."
MANY_ELEMENTS = "The drawing shows {shown} of {all} elements; choose a kind to see others."
KIND_OF_ELEMENT = "Kind of element"
ALL_KINDS = "all kinds"
CLASHES_HEAD = "Claims that are improbable together"
EXPLAINED = "it would be explained if this source is not to be relied upon"
SET_ASIDE_HEAD = "Recorded, and not read by the assessment"
METHOD = "Method: {method}."
ORDER_HEADS = ("Later", "Earlier", "Claims")
UNORDERED = "No claim of order names: {names}."
NO_ORDER = "No claim of order is recorded."
REDUNDANT = "{count} stated relations follow from those drawn."
LOOP_HEAD = "Contradiction: an order in a circle"
NO_ARRANGEMENT = "Nobody recorded how the parts stood."
NO_PHASE = "no phase named"
DISPUTED = "Accounts differ; nothing is resolved."
DENIED = "denied"
VOICES = "independent sources: {count}"
PLACES_HEADS = ("Thing", "Status", "Place", "Known how", "Last seen")
REPORT_SAID = (
    "The examination and treatment report of this object, from what this reader may see."
)
REPORT_MAKE = "Make the report"
REPORT_SAVE_PDF, REPORT_SAVE_HTML = "Save report (PDF)", "Save report (HTML)"
ENTER_HERE = "Record an observation about this object"

# why
ACCOUNT = "The account"
CARRIED = "These claims carry it alone"
FOR_HEAD, AGAINST_HEAD = "Speaks for it", "Speaks against it"
UNTOLD_HEAD = "About it, but the draws do not tell what it weighs"
RIVAL_HEAD = "The rival view"
NO_RIVAL = "No account that excludes it has weight."
SETTLE_HEAD = "What would settle it"
SETTLE_HEADS = ("Examination", "What it costs the object")
FALLS_HEAD = "What would bring it down"
FALLS_IF = "{number} taken as {word}"
HEARD_HEAD = "How far each source is heard"
HEARD_HEADS = ("Source", "Before", "After all claims")
WEIGHT_FOR, WEIGHT_AGAINST = "factor {factor} for", "factor {factor} against"
BACK_TO = "All elements of"
ENTER_ABOUT = "Record an observation about this element"
NOTHING_AGAINST = "No claim speaks against it."
NO_CLAIM = "No claim touches it."

# observation
OBSERVE_UNDER = "One thing seen or said. What you write is kept as a draft until recorded."
F_OBJECT, F_ELEMENT, F_RELATION, F_OTHER = (
    "Object",
    "Element",
    "What is said of it",
    "Of which other element",
)
F_VALUE, F_DATE, F_PHASE, F_STRENGTH, F_STANCE = (
    "In words",
    "Date (a day, month or year; about 1880: 1880~)",
    "Phase",
    "How strongly it speaks",
    "For or against",
)
F_SOURCE, F_DERIVED, F_SPOT, F_RIVAL, F_NOTE, F_WHEN, F_HOW, F_NUMBER = (
    "Source",
    "Repeats an earlier observation or source?",
    "Where exactly",
    "What else could explain it",
    "Note",
    "Seen or said when",
    "How seen (raking light, section, by eye)",
    "Your number for it",
)
THE_OBJECT_ITSELF = "the object itself"
NO_SOURCE = "no paper: seen by the role that records"
NOT_DERIVED = "no, it is a look or a word of its own"
MORE_FIELDS = "More: stance, where exactly, how seen, other explanation, number"
GUIDE_USUAL = "usual: {word}"
GUIDE_ASKS, GUIDE_RIVALS, GUIDE_PITFALLS = (
    "Write down with it",
    "What else usually explains it",
    "How it misleads",
)
GUIDE_BASIS = "basis: {basis}"
PREVIEW = "This will be recorded"
PREVIEW_COPY = "It repeats {what}: it is kept, and adds no weight."
RECORD_IT = "Record it"
CLEAR_IT = "Clear the form"
LACKS = "Not complete yet: {what}"
RECORDED = "Recorded as {number}."
MOVED_HEAD = "What it changed"
MOVED_HEADS = ("Element", "Before", "Now")
NOT_MOVED = "No verdict of this object changed."
CORRECTING = "You are correcting {number}. The earlier version stays in the record."
F_REASON = "Why it is corrected"
STALE_HEAD = "Somebody corrected this since you opened it"
STALE_SAID = "Both versions are here; nothing is lost. Yours is still a draft."
STALE_HEADS = ("Field", "Yours", "In the record now")
STALE_OVER = "Go on from the version in the record, with my words"
STALE_THEIRS = "Keep the version in the record; drop mine"
KNOWN_PAST = "You look at an earlier day. Clear the day as known to record something."
NO_ROLE = "Say in the sidebar under which role you record."

# removed and kept
KEPT_UNDER = "What was taken off, sampled or found loose: where it is, and where it was."
KEPT_VIEWS = ("Shelf", "One thing", "Missing", "Due", "Move or sight", "Labels")
SHELF, ITEM, MISSING, DUE, ACT, LABELS = KEPT_VIEWS
CHOOSE_SHELF = "Container or place"
CHOOSE_ITEM = "Part, sample or fragment"
CONTENTS_HEADS = ("Thing", "From", "Status", "Last seen", "Cautions")
INSIDE = "{count} things inside"
LOOSE = "loose fragments: {told}"
PLACE = "Place"
STRIP_HEAD = "Where it was, in time"
NO_STRIP = "No dated stay is recorded, so there is nothing to draw."
GAPS_HEAD = "Gaps and overlaps found in the record"
GAPS_HEADS = ("Kind", "What")
LIFE_HEAD = "What became of it"
LIFE_HEADS = ("What", "When", "Where", "By")
ALARM = "It ought to be somewhere and is not known to be."
STAGE = "Stage"
DEPENDS_HEADS = ("Record", "Why")
DEPENDS_HEAD = "What depends on it"
ACT_SORT = "What happened"
ACT_MOVED, ACT_SEEN, ACT_NOT_SEEN = "moved", "seen", "looked for and not seen"
ACT_THINGS = "Numbers or label codes, one a line"
ACT_TO, ACT_WHERE, ACT_WHEN = "Put into", "Where", "When (EDTF)"
ACT_AUTHORITY, ACT_WHY = "Role that allowed it", "Reason"
ACT_DO = "Record this act"
ACT_HEADS = ("Thing", "Place as recorded", "Goes along", "Its container asks for")
ACT_DONE = "Recorded: {said}"
ACT_STOPPED = "Nothing was recorded."
LABELS_UNDER = "A label for each thing: words, hazards, and its code as text and QR code."
LABELS_WHAT = "Numbers, one a line"
LABELS_ALL_IN = "And for all that lies in"
LABELS_SHEET = "Paper"
LABELS_SINGLE, LABELS_A4 = "single labels, 60 x 30 mm", "A4 sheet, 3 x 8"
LABELS_MAKE, LABELS_SAVE = "Make labels", "Save labels (PDF)"

# find
FIND_UNDER = "All words must occur. Words that are closed to this reader are not searched."
FIND_WORDS = "Words"
FIND_KIND, FIND_ANY = "Kind of record", "any kind"
FIND_MATERIAL, FIND_VERDICT = "Material (in words)", "Verdict says"
FIND_AFTER, FIND_BEFORE = "Dated after (year)", "Dated before (year)"
FIND_HEADS = ("Record", "Kind", "Object", "Material", "Date", "Verdict")
FIND_COUNT = "{count} found"
FIND_LIMIT = "The search stops at {limit}: more words find fewer."
FIND_NOT_DATED = "{count} more have no date recorded and are left out by the dates."
FIND_LINE = "In time"
FIND_SAVED = "This question is in the address of the page: bookmark it to ask it again."
FIND_BEGIN = "Type words, or choose a kind, a material or a verdict."
CITED_HEADS = ("record id", "entry", "recorded by", "as known on", "archive")

# conflicts and questions
QUESTIONS_UNDER = "Everything is kept as it was said; Vestige resolves no contradiction."
CONFLICTS_HEAD = "Records that contradict each other"
NO_CONFLICT = "None was found. Others may exist in ways that nothing here looks for."
WHOLE = "Which object"

# changes
CHANGES_UNDER = "What was recorded, corrected or withdrawn after a day."
CHANGES_SINCE = "Since (a day)"
CHANGES_HEADS = ("Record", "What", "When", "By", "Why", "Columns")
NO_CHANGES = "Nothing was recorded after that day."
CHANGES_WHICH = "For one object, or all"

# bring in
BRING_UNDER = "Sheets as XLSX or YAML. They are checked first; nothing is recorded by it."
BRING_FILE = "Filled workbook or case file"
BRING_CHECK = "{new} new, {changed} changed, {same} the same, {wrong} wrong"
BRING_PROBLEM_HEADS = ("Weight", "Sheet", "Row", "Column", "What is wrong", "What is right")
BRING_CHANGE_HEADS = ("Record", "Column", "In the record", "In the sheets")
BRING_NEW_HEADS = ("Record", "Kind")
BRING_DO = "Record all of it"
BRING_DONE = "Recorded. {mark}"
BRING_NOTHING = "The archive says all this already."
BRING_WRONG = "Something is wrong: nothing can be recorded until it is put right."
BRING_PROBLEMS, BRING_CHANGED, BRING_NEW = "What is wrong", "What changes", "What is new"
BRING_UNREADABLE = "This file cannot be read: {why}"

# one record
RECORD_UNDER = "{kind}, recorded by {by} on {day} (UTC), entry {seq}"
FIELDS_HEAD = "What it says"
POINTED_HEAD = "Records that name it"
POINTED_HEADS = ("Record", "It says")
BEHIND_HEAD = "Who said so"
BEHIND_HEADS = ("Source", "Kind", "Dated", "Soundness", "Copies", "Kept at")
RESTS_HEAD = "What rests on it"
CORRECT_IT = "Correct this observation"
ON_OBJECT = "On"

# unknowns, decisions, changes
UNKNOWN_HEAD = "What is unknown, and what would settle it"
UNKNOWN_HEADS = ("Kind", "What is unknown", "About", "What would settle it")
DECISIONS_HEAD = "Decisions beside their ground"
REVIEW_HEAD = "Decisions to be looked at again"
RESTS_ON = "rests on"
ALL_OBJECTS = "all objects"
NO_OBJECT = "records of no object"
FIRST_RECORDED = "First recorded within this time: there is nothing to compare it with."
BECAUSE = "Because of"
CAME_FROM = "came from"
THE_RECORD = "The record itself"
CLOSED = "restricted"
MANY_RECORDS = "By kind of record: {told}"
REVIEW_NONE = "No recorded decision has lost its ground, of the objects reckoned here."
REVIEW_HEADS = ("Decision", "About", "Why")

# photographs
F_PHOTO = "Photograph (kept as it comes)"
F_SHOWS = "What the photograph shows"
NOT_SHOWN = "This picture is kept, and too large or not readable to be shown here."
PHOTO_TAKEN = "taken {day}, as the camera says (it says no time zone)"
NO_FILE = "The file of this picture is not beside the record: {file}"

# a decision
DECIDE = "Record a decision"
DECIDE_UNDER = "What a person chose, in their own words. Vestige decides nothing."
DECIDE_CHOOSE = "Open an element and follow its link to record a decision about it."
D_ABOUT, D_CHOICE, D_REASON, D_CONSULTED, D_WHEN, D_RESTS = (
    "What it is about",
    "What was chosen",
    "Why, in the words of who decided",
    "Who was consulted (roles, separated by ;)",
    "Decided when (EDTF)",
    "Observations it rests on",
)
ASSESSED = "What the assessment says now; it is kept with the decision"
DECIDE_ABOUT = "Record a decision about this element"
LISTS_IT = "'vestige find' lists what there is"
FIND_LISTS_IT = "the page Find lists what there is"
"""The end of a refusal: as the command line says it, and as a page does."""
SAVE_PNG = "Save drawing (PNG)"

translatable(__name__, keep=("APP", "VIEWS", "LISTS_IT", "FIND_LISTS_IT"))
