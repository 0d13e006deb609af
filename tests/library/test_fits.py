"""Whether a part or a material bears a process."""

import pytest

from lungwort.errors import UnknownName
from lungwort.library.fits import fits, fits_of
from lungwort.library.loading import Basis
from lungwort.library.materials import Answer, all_materials, material_table, worst
from lungwort.library.parts import all_parts

EVERY_PROCESS = [column.name for column in material_table().columns]


@pytest.mark.parametrize(
    ("thing", "process", "answer"),
    [
        # checks handed to us with the table
        ("PMMA", "steam-134", "does not fit"),
        ("PVC", "hot water 90", "does not fit"),
        ("latex", "oil", "does not fit"),
        ("silicone circuit", "petroleum jelly", "does not fit"),
        # read off the table by hand
        ("silicone", "steam-134", "fits"),
        ("polysulfone", "steam-121", "fits"),
        ("polysulfone", "steam-134", "limited"),
        ("polycarbonate", "steam-121", "limited"),
        ("polycarbonate", "steam-134", "does not fit"),
        ("aluminium", "bleach", "does not fit"),
        ("stainless steel", "PAA", "limited"),
        ("EPDM", "isopropanol", "fits"),
    ],
)
def test_answers_are_those_of_the_table(thing, process, answer):
    """Cell by cell."""
    assert fits(thing, process).answer == answer


@pytest.mark.parametrize(
    ("thing", "process", "answer"),
    [
        ("ABS", "hot water 75", "does not fit"),  # above 70 °C it warps
        ("ABS", "hot water 70", "not shown"),  # nothing is known of less
        ("PVC", "hot water 60", "not shown"),
        ("acrylic", "hot water 68", "not shown"),
        ("polycarbonate", "hot water 95", "limited"),
        ("polycarbonate", "hot water 98", "not shown"),  # the table ends at 95 °C
        ("polypropylene", "steam 121", "limited"),  # said to fit, but grades differ between 100 and 130 °C
        ("natural rubber", "steam 121", "limited"),  # above the 100 °C it bears for long
        ("natural rubber", "hot water 80", "fits"),
        ("natural rubber", "hot water 81", "limited"),
        ("EPDM", "steam 130", "fits"),
        ("EPDM", "steam 132", "limited"),  # grades differ between 130 and 150 °C
        ("silicone", "steam 137", "fits"),
        ("silicone", "steam 138", "not shown"),  # the table ends at 137 °C
        ("acrylic", "steam 140", "does not fit"),  # hotter is no kinder
        ("EPDM", "steam 150", "not shown"),
        ("polypropylene", "steam 138", "does not fit"),  # no answer, and above all it bears
    ],
)
def test_the_temperature_is_compared_at_its_edges(thing, process, answer):
    """Within what is borne for long, between the two ends, above, and beyond the table."""
    assert fits(thing, process).answer == answer


def test_the_worst_material_decides_for_every_part_and_process():
    """A part is never better than any of its materials; reasons stand worst first."""
    for part in all_parts():
        for process in EVERY_PROCESS:
            fit = fits(part.name, process)
            materials = [fits(name, process).answer for name in part.materials]
            assert fit.answer is worst([fit.answer, *materials])
            ranks = [list(Answer).index(reason.answer) for reason in fit.reasons]
            assert ranks == sorted(ranks, reverse=True)
            assert fit.answer is fit.reasons[0].answer


def test_every_material_of_a_part_gives_its_reason():
    """Nothing is decided in silence."""
    fit = fits("humidifier chamber", "peracetic acid")
    assert [(r.about, str(r.answer)) for r in fit.reasons] == [
        ("aluminium", "does not fit"),
        ("polycarbonate", "limited"),
        ("silicone", "limited"),
        ("polysulfone", "fits"),
    ]


def test_every_reason_and_note_has_source_and_basis():
    """For all parts and materials and all processes."""
    names = [thing.name for thing in (*all_parts(), *all_materials())]
    for fit in (fit for name in names for fit in fits_of(name)):
        assert fit.reasons
        for said in (*fit.reasons, *fit.notes):
            assert said.sentence.endswith(".")
            assert said.source
            assert said.basis in Basis
        assert "maker's instructions" in fit.notes[0].sentence
        assert fit.answer is Answer.NOT_SHOWN or fit.basis is not Basis.PUBLISHED


@pytest.mark.parametrize("material", all_materials(), ids=lambda material: material.name)
def test_a_combination_nobody_told_us_of_is_not_shown(material):
    """OPA has no answers for any material."""
    fit = fits(material.name, "OPA")
    assert (fit.answer, fit.basis) == (Answer.NOT_SHOWN, Basis.COMPUTED)


def test_a_part_with_something_unknown_in_it_is_never_said_to_fit():
    """The sensing element may be the weakest."""
    for fit in fits_of("flow sensor"):
        assert fit.answer in (Answer.NOT_SHOWN, Answer.DOES_NOT_FIT)
        assert "sensing element" in {reason.about for reason in fit.reasons}


@pytest.mark.parametrize("process", ["NaDCC", "calcium hypochlorite"])
def test_chlorine_by_another_name_is_never_better_than_limited(process):
    """The answers are those given for hypochlorite, and only as far as they go."""
    for material in all_materials():
        said, liquid = fits(material.name, process), fits(material.name, "hypochlorite")
        assert said.answer is worst([liquid.answer, Answer.LIMITED])
        assert said.reasons[0].sentence.startswith("As with hypochlorite: ")


def test_oil_never_fits_where_oxygen_flows():
    """Whatever the material."""
    for part in (part for part in all_parts() if part.oxygen and part.reuse == "reusable"):
        fit = fits(part.name, "grease")
        assert fit.answer is Answer.DOES_NOT_FIT
        assert any("catch fire" in reason.sentence for reason in fit.reasons)
    assert any("catch fire" in note.sentence for note in fits("stainless steel", "oil").notes)


@pytest.mark.parametrize("name", [part.name for part in all_parts() if part.reuse == "single patient"])
def test_a_part_for_one_patient_fits_nothing(name):
    """It is thrown away."""
    for fit in fits_of(name):
        assert fit.answer is Answer.DOES_NOT_FIT
        assert "For one patient" in fit.reasons[0].sentence


@pytest.mark.parametrize("name", [part.name for part in all_parts() if part.wipe_only])
def test_a_part_to_be_wiped_goes_into_no_heat_and_no_bath(name):
    """Heat is refused, chemicals are limited at best."""
    assert fits(name, "steam 121").answer is Answer.DOES_NOT_FIT
    assert fits(name, "hot water 70").answer is Answer.DOES_NOT_FIT
    assert any("never soaked" in reason.sentence for reason in fits(name, "ethanol").reasons)
    assert fits(name, "ethanol").answer is not Answer.FITS


def test_bearing_it_is_not_said_to_be_enough():
    """Alcohol for a mask, hot water for a circuit: a note says what is still open."""
    assert any("not enough by itself" in note.sentence for note in fits("mask", "ethanol").notes)
    assert any("prove the cycle" in note.sentence for note in fits("circuit", "hot water 80").notes)
    assert not any("not enough" in note.sentence for note in fits("mask", "glutaraldehyde").notes)
    assert not any("not enough" in note.sentence for note in fits("suction jar", "ethanol").notes)


def test_an_unknown_part_or_process_is_a_sentence():
    """Near names, and where all are listed."""
    with pytest.raises(
        UnknownName, match="no part or material called 'msk'; near ones: mask.*`lungwort fits` lists"
    ):
        fits("msk", "steam-121")
    with pytest.raises(UnknownName, match="no process called 'moonlight'"):
        fits("mask", "moonlight")
