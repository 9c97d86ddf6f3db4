"""What an import would change, without telling what somebody may not read."""

from dataclasses import replace

from vestige.graph.answer.change_walk import closed_now
from vestige.graph.collection import Collection
from vestige.graph.intake import Draft
from vestige.graph.state import Reader


def as_seen(drafted: Draft, collection: Collection, reader: Reader) -> Draft:
    """The same draft, where what the archive says of a closed record is not told.

    A sheet that bears the number of a closed record would otherwise show its content as
    what is to be changed.
    """
    asks = closed_now(collection.store, [one.key for one in drafted.changed])
    changed = tuple(
        one
        if reader.may_read(asks.get(one.key))
        else replace(
            one,
            differences=tuple(
                replace(each, before=f"restricted: ask {asks[one.key].ask}")
                for each in one.differences
            ),
        )
        for one in drafted.changed
    )
    return replace(drafted, changed=changed)
