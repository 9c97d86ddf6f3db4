"""Sentences about treatments and other happenings, and what was taken off in them."""

from ..language import translatable

TREAT = "Record a treatment"
TREAT_UNDER = (
    "What was done to the object or befell it: treatment, repair, examination, loan... "
    "What is only meant to be done is a decision."
)
TREAT_LINK = "Record a treatment or another happening"
TREAT_THIS = "Record the treatment that carries it out"
T_CARRIES_OUT, T_SORT, T_NAME, T_ELEMENTS, T_WHEN, T_BY, T_CLASS = (
    "Which decision it carries out",
    "What kind of happening",
    "What was done, in a few words",
    "To which elements",
    "When (EDTF: a day, 2026-11, or 1880~ for about 1880)",
    "Who did it (role)",
    "Whose hand",
)
T_USED, T_TECHNIQUE, T_WHY, T_PHASE, T_SOURCE, T_NOTE, T_NUMBER = (
    "Materials and batches used",
    "How (technique)",
    "Why",
    "Phase",
    "Source that says so",
    "Note",
    "Your number for it",
)
NEW_MATERIAL = "New in the list of materials, recorded with the treatment: {names}"
MORE = "More: who, whose hand, how, phase, source, note, number"
NAMED = "{choice}: {things}"
RECORD_TREATMENT = "Record what was done"
CARRIED_OUT_BY = "It is carried out by"
NOT_CARRIED_OUT = "No happening is recorded as carrying it out."
WHAT_NEXT = "What came of it"
NEXT_PART = "A part was taken off: record where it is kept"
NEXT_SAMPLE = "A sample was taken: record it"
NEXT_BACK = "A removed part was put back"
NEXT_WITHIN = "A part was moved within the object"
NEXT_TURNED = "It was turned round: record how it stands now"
LABEL_LINK = "Print its label"
THINGS_HEAD = "Cautions for what is chosen here"
NO_CAUTION = "No caution is recorded for what is chosen here."

# usual cautions of materials: common practice, no source
USUAL_HEAD = "Usual cautions for words written here"
USUAL = {
    "solvent": (
        "Solvent: vapour, skin and fire. Local rules, the maker's safety sheet and a "
        "competent person decide."
    ),
    "pesticide": (
        "Pesticide or biocide: old treatments leave arsenic, mercury or organochlorines "
        "behind. Local rules and a competent person decide, also on tests."
    ),
    "pigment": (
        "Pigment that may hold lead, arsenic, mercury, chromium or cadmium: dust and skin. "
        "Local rules and a competent person decide."
    ),
    "acid or alkali": (
        "Acid, alkali or bleach: skin, eyes, and what stands near it. Local rules, the "
        "maker's safety sheet and a competent person decide."
    ),
}

# what was taken off
REMOVAL = "Record what was taken off"
REMOVAL_UNDER = (
    "A part that is kept, or a sample: where it sat, who consented, where it is."
)
REMOVAL_LINK = "Record what was taken off"
R_WHAT, R_PART, R_SAMPLE = "What it is", "a part", "a sample"
R_HAPPENING = "In which happening it came off"
NO_HAPPENING = "no happening is recorded for it"
R_NUMBER, R_ELEMENT, R_NAME, R_MANY, R_REASON, R_CONSENT, R_POSITION = (
    "Number of the part, sample or bag",
    "From which element",
    "What it is, in words",
    "How many, where it is a count",
    "Reason",
    "Who consented (role)",
    "Original position, exactly",
)
R_CONTAINER, R_LABEL, R_REVIEW, R_WHEN, R_BY, R_NOTE = (
    "Container or place it was put into",
    "What its label says, to the letter",
    "To be looked at again when (EDTF)",
    "When (EDTF)",
    "By (role)",
    "Note",
)
S_QUESTION, S_SPOT, S_SIZE, S_AMOUNT, S_PERMISSION, S_RETENTION = (
    "What it was taken to find out",
    "Where exactly",
    "Size, with unit",
    "Amount, with unit",
    "Who allowed it (role)",
    "How long it is to be kept, and on whose rule",
)
RECORD_REMOVAL = "Record it as taken off"
NOT_DOCUMENTED = (
    "REMOVAL NOT DOCUMENTED: it lacks {lacks}. It can be recorded so; its status stays "
    "'removal not documented' until they are recorded."
)
DOCUMENTED = (
    "Reason, consent, original position, label, container and review date: each is "
    "recorded for it, here or by its treatment or decision."
)
LACKED = {
    "reason": "the reason",
    "consent": "consent",
    "original position": "the original position",
    "label": "what the label says",
    "container": "the container",
    "review date": "the review date",
}
TAKEN_OFF = "Recorded as {number}. Stage: {stage}."
COMPLETE_IT = "Add what lacks"
ANOTHER = "Another thing taken off in the same happening"
ITS_PAGE = "Where it is and was"
STATUS_OF = (
    "Status of {element} in the record: {status}. Correct it where it is another now"
)

# drafts that wait
WAITS = {
    "observation": "An observation was begun and not recorded yet.",
    "decision": "A decision was begun and not recorded yet.",
    "treatment": "A treatment was begun and not recorded yet.",
    "removal": "Something taken off was begun and not recorded yet.",
    "correction": "A correction was begun and not recorded yet.",
    "act": "A move or look was begun and not recorded yet.",
}

# acts: what it became
ACT_BECAME = "became something else"
ACT_TURN = "What it became"
ACT_TO_TOO = "Put into by that, if anywhere"
ACT_UNDER = (
    "Moved, seen, looked for, put back, on loan... Scan label codes line by line. What "
    "you write is kept as a draft."
)

translatable(__name__)
