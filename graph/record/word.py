"""The fixed words of the trade: what the reasoning and the keeping can act upon.

Each word list is closed because code depends on its members; open lists (kinds of hinge,
names of woods) are plain text. `SYNONYMS` holds what else people write for a word.
The distinctions follow common practice (no source), where none is named.
"""

from enum import StrEnum
from typing import TypeVar

W = TypeVar("W", bound=StrEnum)


class ElementSort(StrEnum):
    """What sort of thing an element is."""

    PART = "part"
    FIXING = "fixing"
    LAYER = "layer"
    FEATURE = "feature"  # a hole, ghost, impression, drip, tool mark, wear, crack...
    ABSENCE = "absence"  # looked for by a method and not seen


class Span(StrEnum):
    """Which part of an object's life a phase is."""

    MAKING = "making"
    USE = "use-life"
    TRADE = "trade or collection"  # in trade or collection, before the museum
    MUSEUM = "museum"  # in the museum, before the present treatment
    TREATMENT = "present treatment"


class AgentClass(StrEnum):
    """Whose hand; one of the four axes of an element."""

    MAKER = "maker"
    COMMUNITY = "user, family or source community"
    TRADE = "trade"
    WORKSHOP = "museum workshop"
    CONSERVATOR = "conservator"
    UNKNOWN = "unknown"


class Status(StrEnum):
    """Physical status; one of the four axes of an element."""

    IN_PLACE = "in place"
    MOVED = "moved on the object"
    KEPT = "removed and kept"
    UNDOCUMENTED = "removal not documented"
    UNKNOWN_PLACE = "whereabouts not recorded"
    CONSUMED = "consumed"
    DISCARDED = "discarded"
    TRANSFERRED = "transferred"


class Judgement(StrEnum):
    """What an element is worth to those who judged; one of its four axes."""

    SIGNIFICANT = "significant"
    NEUTRAL = "neutral"
    HARMFUL = "harmful"
    UNDECIDED = "undecided"


class Relation(StrEnum):
    """What a claim says of its subject; read: subject, relation, other."""

    # order: the subject came after the other
    LIES_OVER = "lies over"
    CUTS = "cuts"
    FILLS = "fills"
    BRIDGES = "bridges"  # a repair across a joint is later than both parts
    LATER_THAN = "later than"
    IMPRESSION_OF = "impression of"
    GHOST_OF = "ghost of"
    # order: the subject came before the other
    LIES_UNDER = "lies under"
    CUT_BY = "cut by"
    TRAPPED_IN = "trapped in"
    EARLIER_THAN = "earlier than"
    # neighbourhood without order
    ABUTS = "abuts"
    PASSES_THROUGH = "passes through"
    TOUCHES = "touches"
    HELD_BY = "held by"
    PART_OF = "part of"
    # sameness
    SAME_STUFF = "same stuff as"
    SAME_HAND = "same hand as"
    MATCHES = "matches"
    CONTINUES = "continues across"
    STOOD_AGAINST = "stood against"  # in a phase, by marks that both bear from then
    # phase and date; the value is a phase or a date
    AS_MADE = "as made"
    MADE_IN = "made in"
    PLACED_IN = "put in place in"
    BELONGS_TO = "belongs to"
    NOT_BEFORE = "not before"
    NOT_AFTER = "not after"
    DATED = "dated"
    SEEN_BY = "seen by then"
    ABSENT_ON = "absent on"
    # exchange
    REPLACES = "replaces"
    REUSED_FROM = "reused from"
    MOVED_FROM = "moved from"
    COPIED_AS = "copied as"
    # said of the whole
    ARRANGED = "arranged as"
    COUNTED = "counted as"
    MADE_OF = "made of"
    MAY_BELONG_TO = "may belong to"
    NOTED = "noted"
    # speech about other claims
    SUPPORTS = "supports"
    OPPOSES = "opposes"
    DISPUTES = "disputes"


class Strength(StrEnum):
    """How strongly a claim speaks; ordinal words, no false decimals."""

    DECISIVE = "decisive"
    STRONG = "strong"
    MODERATE = "moderate"
    WEAK = "weak"
    NEUTRAL = "neutral"


class Stance(StrEnum):
    """Whether a claim speaks for or against what it says."""

    FOR = "for"
    AGAINST = "against"


class SourceKind(StrEnum):
    """What a source is; sets how sound it is taken to be until somebody says otherwise."""

    EXAMINATION = "examination"  # direct, by a trained person
    LAY_OBSERVATION = "observation by others"
    ANALYSIS = "analysis"
    IMAGE = "photograph or image"
    RECORD = "museum record"
    TREATMENT_RECORD = "treatment record"
    LETTER = "letter or diary"
    DEALER = "dealer's paper"
    CATALOGUE = "catalogue"
    INVENTORY = "inventory"
    ORAL = "oral account"
    TRADITION = "family tradition"
    COMMUNITY = "community statement"
    PUBLICATION = "published reference"
    COMPUTATION = "computation"  # from what others measured
    OTHER = "other"


class Reliability(StrEnum):
    """How sound a source is held to be, once for all its claims."""

    SOUND = "sound"
    USUALLY_SOUND = "usually sound"
    MIXED = "mixed"
    DOUBTFUL = "doubtful"
    UNKNOWN = "not known"


class Hand(StrEnum):
    """Whether a source saw for itself."""

    FIRST = "first-hand"
    SECOND = "second-hand"
    UNKNOWN = "not known"


class HappeningSort(StrEnum):
    """What sort of thing happened to an object."""

    MAKING = "making"
    USE = "use"
    REPAIR = "repair in use"
    MODIFICATION = "modification"
    DAMAGE = "damage"
    ACQUISITION = "acquisition"
    RESTORATION = "restoration"
    TREATMENT = "treatment"
    REMOVAL = "removal"
    PUTTING_BACK = "putting back"
    SAMPLING = "sampling"
    LOAN = "loan"
    EXAMINATION = "examination"
    CONSULTATION = "consultation"
    DISPOSAL = "disposal"
    OTHER = "other"


class Seen(StrEnum):
    """What a look for a thing came to."""

    SEEN = "seen"
    NOT_SEEN = "not seen"
    ELSEWHERE = "seen elsewhere"
    UNIDENTIFIED = "cannot be identified"
    LISTED = "listed from records"  # nobody looked


class SampleState(StrEnum):
    """What is left of a sample."""

    KEPT = "kept"
    PARTLY_USED = "partly used"
    CONSUMED = "consumed"
    AT_LABORATORY = "at the laboratory"
    NOT_LOCATED = "not located"
    DISCARDED = "discarded"


class Choice(StrEnum):
    """What was decided about an element."""

    KEEP = "keep"
    LEAVE = "leave"
    REMOVE = "remove"
    TURN = "turn round"
    PUT_BACK = "put back"
    FILL = "fill"
    TONE = "tone"
    NOTHING = "do nothing"
    POSTPONE = "postpone"
    OTHER = "other"


class CautionSort(StrEnum):
    """Whether a caution is of harm or of permission."""

    HAZARD = "hazard"
    RESTRICTION = "restriction"


class Known(StrEnum):
    """How a hazard is known. None of these says that a thing may be touched."""

    KNOWN = "known"
    SUSPECTED = "suspected"
    NEGATIVE = "tested negative"
    NOT_TESTED = "not tested"


class Scope(StrEnum):
    """What a restriction forbids without the authority's word."""

    VIEW = "view"
    HANDLE = "handle"
    PHOTOGRAPH = "photograph"
    PUBLISH = "publish"
    SAMPLE = "sample"
    TEST = "test"
    REPAIR = "repair"
    ORIENTATION = "orientation"
    NEIGHBOURS = "storage neighbours"
    STORY = "story closed"


SYNONYMS: dict[type[StrEnum], dict[str, StrEnum]] = {
    ElementSort: {
        "component": ElementSort.PART,
        "element": ElementSort.PART,
        "piece": ElementSort.PART,
        "fastener": ElementSort.FIXING,
        "fastening": ElementSort.FIXING,
        "lashing": ElementSort.FIXING,
        "coating": ElementSort.LAYER,
        "coat": ElementSort.LAYER,
        "mark": ElementSort.FEATURE,
        "trace": ElementSort.FEATURE,
        "not seen": ElementSort.ABSENCE,
    },
    Relation: {
        "over": Relation.LIES_OVER,
        "on top of": Relation.LIES_OVER,
        "above": Relation.LIES_OVER,
        "under": Relation.LIES_UNDER,
        "below": Relation.LIES_UNDER,
        "beneath": Relation.LIES_UNDER,
        "after": Relation.LATER_THAN,
        "before": Relation.EARLIER_THAN,
        "fixed by": Relation.HELD_BY,
        "fastened by": Relation.HELD_BY,
        "original": Relation.AS_MADE,
        "no earlier than": Relation.NOT_BEFORE,
        "not earlier than": Relation.NOT_BEFORE,
        "terminus post quem": Relation.NOT_BEFORE,
        "no later than": Relation.NOT_AFTER,
        "not later than": Relation.NOT_AFTER,
        "terminus ante quem": Relation.NOT_AFTER,
        "placed in": Relation.PLACED_IN,
        "same material as": Relation.SAME_STUFF,
        "order": Relation.ARRANGED,
        "count": Relation.COUNTED,
        "note": Relation.NOTED,
        "aligns with": Relation.MATCHES,
    },
    Strength: {
        "conclusive": Strength.DECISIVE,
        "medium": Strength.MODERATE,
        "none": Strength.NEUTRAL,
    },
    Stance: {"pro": Stance.FOR, "con": Stance.AGAINST, "contra": Stance.AGAINST},
    Seen: {
        "yes": Seen.SEEN,
        "present": Seen.SEEN,
        "no": Seen.NOT_SEEN,
        "absent": Seen.NOT_SEEN,
        "missing": Seen.NOT_SEEN,
    },
    Hand: {"first": Hand.FIRST, "second": Hand.SECOND, "hearsay": Hand.SECOND},
    Known: {"confirmed": Known.KNOWN, "presumed": Known.SUSPECTED},
    Span: {"use": Span.USE, "collection": Span.TRADE, "treatment": Span.TREATMENT},
    Status: {"removed": Status.KEPT, "lost": Status.UNKNOWN_PLACE},
    SampleState: {"missing": SampleState.NOT_LOCATED, "used up": SampleState.CONSUMED},
}

LATER = frozenset(
    {
        Relation.LIES_OVER,
        Relation.CUTS,
        Relation.FILLS,
        Relation.BRIDGES,
        Relation.LATER_THAN,
        Relation.IMPRESSION_OF,
        Relation.GHOST_OF,
        Relation.REPLACES,
    }
)
"""Relations whose subject came after the other."""

EARLIER = frozenset(
    {Relation.LIES_UNDER, Relation.CUT_BY, Relation.TRAPPED_IN, Relation.EARLIER_THAN}
)
"""Relations whose subject came before the other (or, trapped, before it was closed)."""

TAKES_DATE = frozenset(
    {
        Relation.NOT_BEFORE,
        Relation.NOT_AFTER,
        Relation.DATED,
        Relation.SEEN_BY,
        Relation.ABSENT_ON,
    }
)
"""Relations whose value is a date (EDTF)."""

TAKES_PHASE = frozenset({Relation.MADE_IN, Relation.PLACED_IN, Relation.BELONGS_TO})
"""Relations that name a phase."""

TAKES_TEXT = frozenset(
    {Relation.ARRANGED, Relation.COUNTED, Relation.MADE_OF, Relation.NOTED}
)
"""Relations whose value is words."""

STANDS_ALONE = frozenset({Relation.AS_MADE, Relation.REUSED_FROM})
"""Relations that need neither other element nor value: re-used from another object has
no element of this one to name."""


def read_word(words: type[W], text: str) -> W | None:
    """The word of a list that ``text`` means, synonyms and case understood; else None."""
    folded = " ".join(text.split()).casefold()
    for word in words:
        if word.value.casefold() == folded:
            return word
    found = SYNONYMS.get(words, {}).get(folded)
    return found if isinstance(found, words) else None
