"""An invented small archive of loose things, for tests of fragments and labels."""

from pathlib import Path

from vestige.graph.collection import Collection
from vestige.graph.ledger import State
from vestige.graph.record import (
    Container,
    Edtf,
    Element,
    ElementSort,
    Fragment,
    KeyMaker,
    Measure,
    MuseumObject,
    Record,
    Source,
    SourceKind,
)

CLOCK = 1_700_000_000_000
"""Record time of every entry, ms: 2023-11-14."""


class Archive:
    """An archive with one bowl, one box and one source, to which tests add."""

    def __init__(self, folder: Path) -> None:
        self.at = folder
        self.collection = Collection.create(folder, clock=lambda: CLOCK)
        self.keys = KeyMaker(seed=7)
        self.bowl = self.put(MuseumObject(number="X.1", name="bowl"))
        self.box = self.put(Container(number="BX-1", name="bits", sort="box"))
        self.source = self.put(
            Source(number="S-1", name="trial", sort=SourceKind.EXAMINATION)
        )

    def put(self, record: Record) -> str:
        """Record one thing; its key."""
        key = self.keys.new()
        self.collection.record("tester", [State(record.kind, key, record.body())])
        return key

    def element(self, number: str, name: str, sort: str = "feature", **more: object) -> str:
        """An element of the bowl; sizes as texts."""
        fields = {"number": number, "name": name, "object": self.bowl, **_measured(more)}
        return self.put(Element.model_validate({**fields, "sort": ElementSort(sort)}))

    def fragment(self, number: str, name: str = "chip", **more: object) -> str:
        """A loose fragment in the box; sizes as texts."""
        fields = {"number": number, "name": name, "container": self.box, **_measured(more)}
        fields["found_when"] = Edtf.parse("2022-05-02")
        return self.put(Fragment.model_validate(fields))


def _measured(fields: dict[str, object]) -> dict[str, object]:
    sizes = ("size", "thickness", "weight", "curvature")
    return {
        name: Measure.parse(str(value)) if name in sizes else value
        for name, value in fields.items()
    }
