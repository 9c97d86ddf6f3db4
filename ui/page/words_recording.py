"""Sentences about recording: in which role, over whose entry, corrected or withdrawn."""

from ..language import translatable

SAY_ROLE = "say in the sidebar under which role you record; nothing was recorded"
READS_ONLY = "{name} reads and records nothing"
NOT_HELD = (
    "{name} does not hold the role '{role}'; it records as: {roles}. Nothing was recorded"
)
NEW_ROLE = (
    "New role: '{role}' will be recorded in the list of roles with your first entry. If "
    "you mean one of the list, choose that one."
)
HELD_HELP = "Your account records in these roles only."

# somebody recorded something meanwhile
MEANWHILE = "Recorded by somebody since you began this form"
MEANWHILE_SAID = (
    "Both versions are here. Nothing of yours is lost: it is still a draft, and nothing "
    "was recorded."
)
MEANWHILE_HEADS = ("Record", "Column", "When you began", "In the record now")
MEANWHILE_GO = "I have read it: go on with mine"
MEANWHILE_NEW = "new, recorded by {by}"
NOT_THERE = "was not there"

# correcting and withdrawing
CORRECT = "Correct or withdraw a record"
CORRECT_UNDER = (
    "The earlier version stays in the record and can be read there for ever. Change what "
    "is wrong, and say why."
)
CORRECT_WHICH = "Open the record that is wrong, and follow its link."
CORRECT_LINK = "Correct or withdraw this record"
CORRECT_CLOSED = "Part of this record is closed to you, so you cannot correct it."
CORRECTED = "{number} is corrected. What it said before stays in the record."
WITHDRAWN = (
    "{number} is withdrawn. It no longer stands; what it said stays readable in the "
    "record, as known on earlier days."
)
WHY = "Why (needed)"
WITHDRAW_HEAD = "Withdraw it"
WITHDRAW_SAID = (
    "For a record that should not stand at all. It is not deleted: views of earlier days "
    "still show it."
)
WITHDRAW_SURE = "It should not stand at all"
WITHDRAW_DO = "Withdraw this record"
RECORD_CORRECTION = "Record the correction"
CHANGES_HEAD = "This will be changed"
CHANGES_HEADS = ("Column", "Before", "After")
NOTHING_CHANGED = "nothing is changed yet"
GONE = "What you were correcting was withdrawn meanwhile; your draft is still kept."
DRAFT_FIRST = (
    "A draft about {thing} was begun and not recorded. It is shown here, so that it is not "
    "lost: record it or clear the form, then follow the link again."
)
SEVERAL = "{note} (several: separated by ;)"

translatable(__name__)
