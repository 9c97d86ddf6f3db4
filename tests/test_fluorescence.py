import pytest

from vestige.graph.reasoning import fluorescence

# Conserve O Gram 1/10, UV fluorescence part II, 2000, as excerpted
PUBLISHED = {
    "lemon yellow": "zinc white",
    "orange": "shellac",
    "yellowish white": "epoxy",
    "milky blue": "polyvinyl acetate (PVAc)",
    "greenish yellow": "cellulose nitrate",
    "milky white": "cellulose acetate",
    "yellow-green": "natural resin varnish",
    "bluish haze": "old varnish with linseed oil",
}


@pytest.mark.parametrize(("colour", "material"), PUBLISHED.items())
def test_a_published_colour_suggests_its_material(colour: str, material: str) -> None:
    found = fluorescence(colour)
    assert material in found.classes
    assert "suggests" in found.text
    assert "proves none" in found.text


@pytest.mark.parametrize("word", ["none", "No fluorescence", "dark"])
def test_no_fluorescence_yields_no_conclusion(word: str) -> None:
    found = fluorescence(word)
    assert found.classes == found.near == ()
    assert found.text.startswith("No fluorescence: no conclusion.")
    assert "may be there all the same" in found.text
    assert "no repair" not in found.text


def test_neighbouring_colours_are_named_as_easily_confused() -> None:
    # nitrate and resin varnish are told apart by a tint that age and filter shift
    assert "natural resin varnish" in fluorescence("greenish yellow").near
    assert "cellulose nitrate" in fluorescence("greenish").near
    assert fluorescence("Blue-white").classes == ("optical brightener",)


def test_a_colour_not_in_the_table_is_said_to_be_missing() -> None:
    found = fluorescence("turquoise")
    assert found.classes == ()
    assert "no colour 'turquoise'" in found.text
    assert "lemon yellow" in found.text
