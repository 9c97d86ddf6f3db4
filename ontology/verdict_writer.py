"""Writes an assessment: what was concluded, how surely, and on what it hangs.

Each verdict is a belief of an inference (CRMinf I5), dated and separate from what was
recorded. It is a computation; importing the file does not make a record of it.
"""

from collections.abc import Iterator

from vestige.graph.answer.assessment import AssessmentOf

from .mapping import full
from .record_writer import TYPE, Triple, Written
from .term import named, node, slug, text, typed


def write_assessment(answer: AssessmentOf) -> Written:
    """The verdicts of an assessment, in a graph of their own."""
    graph = f"<{node(answer.about.key)}#assessment>"
    return Written(graph, tuple(sorted(set(_triples(answer, graph)))))


def _triples(answer: AssessmentOf, graph: str) -> Iterator[Triple]:
    base = graph.strip("<>")
    making = f"<{base}-inference>"
    yield making, TYPE, named("inf:I5_Inference_Making")
    method = f"computed by Vestige, {answer.method}; scale of strength words in the claims"
    yield making, named("crm:P3_has_note"), text(method)
    yield making, named("crm:P15_was_influenced_by"), f"<{node(answer.about.key)}>"
    if answer.as_known:
        known = answer.as_known.replace("+00:00", "Z")
        yield making, named("ves:as_known"), typed(known, "xsd:dateTime")
    for one in answer.verdicts:
        about = node(one.thing.key)
        belief, said = f"<{about}#verdict>", f"<{about}#verdict-proposition>"
        yield making, named("inf:J2_concluded_that"), belief
        yield belief, TYPE, named("inf:I2_Belief")
        yield belief, named("inf:J4_that"), said
        yield belief, named("ves:verdict"), text(one.text)
        yield belief, named("ves:grade"), text(one.grade)
        if one.rival:
            yield belief, named("ves:rival"), text(one.rival)
        for hang in one.hangs_on:
            yield belief, named("ves:hangs_on"), text(hang)
        yield said, TYPE, named("inf:I4_Proposition_Set")
        yield said, named("inf:J28_contains_entity_reference"), f"<{about}>"
        word = f"<{full('voc:Verdict-' + slug(one.word))}>"
        yield said, named("crm:P2_has_type"), word
        yield word, TYPE, named("crm:E55_Type")
        yield word, named("rdfs:label"), text(one.word)
