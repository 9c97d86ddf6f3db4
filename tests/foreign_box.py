"""An invented box in CIDOC CRM as another program might write it; and as Linked Art."""

TURTLE = """
@prefix crm: <http://www.cidoc-crm.org/cidoc-crm/> .
@prefix rdfs: <http://www.w3.org/2000/01/rdf-schema#> .
@prefix xsd: <http://www.w3.org/2001/XMLSchema#> .
@prefix x: <urn:x-box:> .

x:box a crm:E22_Man-Made_Object ; rdfs:label "writing box" ;
  crm:P1_is_identified_by [ a crm:E42_Identifier ; crm:P190_has_symbolic_content "B.77" ] ;
  crm:P45_consists_of x:oak ; crm:P46_is_composed_of x:tray ;
  crm:P199_represents_instance_of_type x:unheard-of .
x:oak a crm:E57_Material ; rdfs:label "oak" .
x:tray a crm:E22_Human-Made_Object ; rdfs:label "tray" .
x:hinge a crm:E22_Human-Made_Object ; rdfs:label "brass hinge" .
x:made a crm:E12_Production ; crm:P108_has_produced x:box ;
  crm:P4_has_time-span [ a crm:E52_Time-Span ;
    crm:P82a_begin_of_the_begin "1840-01-01T00:00:00Z"^^xsd:dateTime ;
    crm:P82b_end_of_the_end "1849-12-31T23:59:59Z"^^xsd:dateTime ] .
x:added a crm:E79_Part_Addition ; rdfs:label "hinge put on" ;
  crm:P110_augmented x:box ; crm:P111_added x:hinge ;
  crm:P183_ends_before_the_start_of x:off ;
  crm:P4_has_time-span [ crm:P82_at_some_time_within "1902~" ] .
x:off a crm:E80_Part_Removal ; rdfs:label "hinge taken off" ;
  crm:P112_diminished x:box ; crm:P113_removed x:hinge ;
  crm:P14_carried_out_by [ a crm:E21_Person ; rdfs:label "An Invented Name" ] ;
  crm:P4_has_time-span [ crm:P82a_begin_of_the_begin "1987-03-02"^^xsd:date ;
    crm:P82b_end_of_the_end "1987-03-02"^^xsd:date ] .
x:carried a crm:E9_Move ; crm:P25_moved x:hinge ; crm:P26_moved_to x:drawer ;
  crm:P4_has_time-span [ crm:P82_at_some_time_within "1987-03-05" ] .
x:drawer a crm:E53_Place ; rdfs:label "drawer 4" .
x:adrift a crm:E80_Part_Removal ; crm:P113_removed x:nobody-knows .
"""

LINKED_ART = {
    "@context": "https://linked.art/ns/v1/linked-art.json",
    "id": "urn:x-box:lid",
    "type": "HumanMadeObject",
    "_label": "lid of an invented box",
    "made_of": [{"id": "urn:x-box:ash", "type": "Material", "_label": "ash"}],
    "weather": "a word that the profile does not have",
    "removed_by": [
        {
            "id": "urn:x-box:lid-off",
            "type": "PartRemoval",
            "timespan": {"type": "TimeSpan", "begin_of_the_begin": "1990-01-01T00:00:00Z",
                         "end_of_the_end": "1990-12-31T23:59:59Z"},
            "diminished": {"id": "urn:x-box:whole", "type": "HumanMadeObject",
                           "_label": "invented box"},
        }
    ],
}  # fmt: skip
