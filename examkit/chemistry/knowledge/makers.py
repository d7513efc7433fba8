"""From the shapes of knowledge files to records: one function per kind."""

from examkit.chemistry import formula
from examkit.chemistry.errors import FormulaError
from examkit.chemistry.knowledge import model, operations, work
from examkit.chemistry.knowledge.citations import citations_of as cites


def colour_record(shape):
    """A colour word."""
    return model.Colour(shape.word, tuple(shape.under), tuple(shape.like), shape.swatch, cites(shape.source))


def _outcomes(seen):
    return tuple(model.Outcome(**{**item.model_dump(), "colours": tuple(item.colours)}) for item in seen)


def alternative_record(shape):
    """Another published outcome."""
    return model.Alternative(
        _outcomes(shape.seen),
        cites(shape.source),
        tuple(shape.present),
        tuple(shape.equations),
        tuple(shape.salt_of),
    )


def _fact(subject, test, facet, shape):
    return model.Fact(
        subject,
        test,
        facet,
        _outcomes(shape.seen),
        cites(shape.source),
        tuple(shape.equations),
        tuple(map(alternative_record, shape.also)),
        tuple(map(alternative_record, shape.when)),
        shape.remark,
        shape.margin,
        shape.leaves,
    )


def _facts(subject, tests):
    return {
        (test, facet): _fact(subject, test, facet, shape)
        for test, facets in tests.items()
        for facet, shape in facets.items()
    }


def ion_record(shape):
    """An ion; FormulaError where its formula has no charge."""
    charge = formula.parse(shape.ion).charge
    if not charge:
        raise FormulaError(f"'{shape.ion}' has no charge. Write it like Zn2+ or SO4^2-.")
    facts = _facts(shape.ion, shape.tests)
    silent = {
        tuple(place.partition(".")[::2]): cites(block.source)
        for block in shape.silent
        for place in block.tests
    }
    return model.Ion(shape.ion, shape.name, tuple(shape.names), charge, facts, silent)


def salt_record(shape):
    """A salt, with what its own entry says beside its ions."""
    cations = tuple(ion for ion in shape.ions if formula.parse(ion).charge > 0)
    anions = tuple(ion for ion in shape.ions if formula.parse(ion).charge < 0)
    sources = cites(shape.source)
    salt = model.Salt(
        formula=shape.formula,
        name=shape.name,
        names=tuple(shape.names),
        ions=shape.ions,
        cations=cations,
        anions=anions,
        water=formula.water_of(shape.formula),
        molar_mass_g_mol=formula.molar_mass_g_mol(shape.formula),
        cas=shape.cas,
        colour=tuple(shape.colour),
        form=shape.form,
        moisture=shape.moisture,
        odour=shape.odour or "",
        dissolves_in=shape.dissolves_in,
        solution=tuple(shape.solution),
        keeping=shape.keeping,
        hazards=_hazards(shape.hazards),
        sources=sources,
        hazard_sources=cites(shape.hazard_source),
        facts=_salt_facts(shape, sources),
        ages=shape.ages,
        extract=shape.extract,
    )
    return salt


def _hazards(shape):
    return model.Hazards(shape.signal or "", tuple(shape.statements), tuple(shape.pictograms))


def _salt_facts(shape, sources):
    """What the salt's own entry says, as facts of the tests on the solid; its `tests` come on top."""

    def fact(test, facet, *seen):
        return (test, facet), model.Fact(shape.formula, test, facet, seen, sources)

    own = dict(
        [
            fact(
                "appearance",
                "colour",
                model.Outcome("colour", colours=tuple(shape.colour), texture=shape.form),
            ),
            fact("appearance", "moisture", _moisture(shape.moisture)),
            fact("solubility", "dissolving", *_dissolving(shape)),
            fact("dry-heating", "water", _water(shape.formula)),
        ]
    )
    odour = model.Outcome("smell", smell=shape.odour) if shape.odour else model.Outcome("none")
    own |= dict([fact("appearance", "odour", odour)])
    return own | _facts(shape.formula, shape.tests)


def _moisture(moisture):
    if moisture in ("hygroscopic", "deliquescent"):
        return model.Outcome("dissolves", step="in air", texture="damp", also_seen="takes up moisture")
    return model.Outcome("none", step="in air")


def _dissolving(shape):
    """Each solvent in turn, until one dissolves the salt."""
    for solvent in model.SOLVENTS:
        if solvent == "nothing":
            return
        if solvent == shape.dissolves_in:
            yield model.Outcome("dissolves", step=solvent, colours=tuple(shape.solution))
            return
        yield model.Outcome("none", step=solvent)


def _water(text):
    if formula.water_of(text):
        return model.Outcome("gas", gas="H2O", also_seen="drops of water on the cool part of the tube")
    return model.Outcome("none")


def test_record(shape):
    """A test with its facets and operations."""
    facets = {
        key: work.Facet(
            key,
            facet.title,
            tuple(facet.steps),
            facet.none,
            facet.combine,
            tuple(facet.sorts),
            tuple(facet.points_at),
            facet.salts,
            tuple(facet.of),
            tuple(shape.kinds if facet.kinds is None else facet.kinds),
            operations.portion_of(shape.operations, key, shape.portion),
            facet.fallen,
        )
        for key, facet in shape.facets.items()
    }
    return work.Test(
        shape.test,
        shape.title,
        shape.stage,
        tuple(shape.kinds),
        shape.portion,
        shape.purpose,
        shape.procedure,
        facets,
        operations.ways(shape.operations),
        tuple(shape.apparatus),
        tuple(shape.cautions),
        shape.applies,
        cites(shape.source),
        shape.choose,
        shape.never,
    )


def reagent_record(shape):
    """A reagent of the shelf."""
    return model.Reagent(
        key=shape.key,
        name=shape.name,
        formula=shape.formula or "",
        kind=shape.kind,
        strength_mol_L=shape.strength_mol_L,
        percent_w_w=shape.percent_w_w,
        percent_w_v=shape.percent_w_v,
        density_g_mL=shape.density_g_mL,
        made_from=shape.made_from,
        procedure=shape.procedure,
        hazards=_hazards(shape.hazards),
        shelf_life=shape.shelf_life,
        cautions=tuple(shape.cautions),
        sources=cites(shape.source),
        told_as=tuple(shape.told_as),
        medium=shape.medium,
        check=shape.check,
    )
