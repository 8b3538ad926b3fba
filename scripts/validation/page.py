"""docs/validation.md: what each experiment found, what the model says, and what neither can."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping, Sequence

import msgspec

from tankward.knowledge.known import Facts

from . import fluke_life, flukes, power, stages, waters, white_spot, white_spot_stages
from .settings import AS_IT_IS, DRAWS, Model, as_it_is, made_otherwise
from .singles import GROUPS
from .verdict import EXPERIMENTS, ROOT, Finding, Told, experiments

PAGE = ROOT / "docs" / "validation.md"
PICTURES = ROOT / "docs" / "validation"
Run = Callable[[Model], Told]


def _counts(id_: str) -> Run:
    return lambda model: flukes.counts(model, id_)


RUNS: dict[str, Run] = {
    **{id_: _counts(id_) for id_ in GROUPS},
    "ich_outbreak_two_species": white_spot.two_species,
    "ich_flow_and_formalin": white_spot.flow,
    "ich_epidemic_oscillation": white_spot.waves,
    "filter_start_up": waters.start_up,
    "filter_start_up_carp": waters.carp,
    "ammonia_flounder_share": waters.flounder,
    "ich_spots_by_temperature": white_spot_stages.spots,
    "ich_mortality_by_dose": white_spot.by_dose,
    "ich_emergence_drift": white_spot_stages.drift,
    "ich_salt_dose": white_spot_stages.salt,
    "ich_formalin_stages": white_spot_stages.formalin_stages,
    "ich_copper_catfish": white_spot_stages.copper,
    "gyro_r_by_temperature": fluke_life.by_temperature,
    "gyro_demography": fluke_life.demography,
    "gyro_salt": fluke_life.salt,
    "dactylogyrus_eggs": stages.gill_flukes,
    "argulus_eggs": stages.lice,
    "tapeworm_eggs": stages.tapeworms,
    "camallanus_development": stages.camallanus,
    "levamisole_capillaria": stages.levamisole,
    "emamectin_capillaria": stages.emamectin,
    "metronidazole_routes": stages.metronidazole,
    "columnaris_by_temperature": stages.columnaris,
    "lymphocystis_temperature": stages.lymphocystis,
    "pzq_adaptation": waters.adaptation,
    "nitrification_formaldehyde": waters.formaldehyde,
}
NOT_RUN = {
    "ich_zebrafish_immunity": (
        "how many parasites the fish were given is not in the abstract, and it decides who dies"
    ),
    "gyro_epidemic_recurrence": (
        "a group whose fish resist one by one is not followed; the kernel has one share for all"
    ),
    "myco_by_food": (
        "two weeks of food with germs in it, at doses that no number of the model takes: "
        "what a fish eats with its food is no route of the facts"
    ),
    "tetrahymena_stress": (
        "how much stress a net or a cold bath is has no number; the order alone would always hold"
    ),
    "microsporidia_degree_days": "compares two formulas with each other, neither of which the model uses",
    "pzq_oral_freshwater": "levels in tissues are not told: no volume of distribution is in the facts",
    "metronidazole_oral_trout": "levels in muscle are not told: no volume of distribution is in the facts",
    "nitrification_drugs_sand": "the effect words of the facts are this paper's, and a word is no share",
    "ammonia_after_meal_sockeye": "meals are spread over the day: hours after a meal are not told",
    "copper_prawn_48h": "deaths by poison are judged by a limit, not followed",
    "copper_ramshorn_by_time": "deaths by poison are judged by a limit, not followed",
}
READ = (
    "cut_",
    "widen_",
    "transition",
    "stand_still",
    "kill_",
    "resist_",
    "run_back",
)  # rules behind the runs

SUBSTANCES = ("praziquantel", "formalin")  # whose losses and effects are run


def stamp(facts: Facts) -> str:
    """Of the facts and experiments that a run reads: the page is out of date where it has another."""
    rules = {k: v for k, v in facts.conversion.items() if k.startswith(READ)}
    told = msgspec.json.encode(
        [
            facts.organisms,
            facts.tank,
            rules,
            facts.tables.reference_state,
            facts.filter_effects,
            [facts.substances[s] for s in SUBSTANCES],
        ],
        order="sorted",
    )
    return hashlib.sha256(told + EXPERIMENTS.read_bytes()).hexdigest()[:12]


def independent() -> list[str]:
    """Experiments that feed no parameter in use."""
    return [id_ for id_ in RUNS if experiments()[id_]["role"] == "independent"]


def score(told: Sequence[Told], role: str = "independent") -> tuple[int, int, int, int]:
    """Findings inside and all; experiments of which every finding is inside, and all."""
    of = [found for t in told if (found := t.of_role(role))]
    findings = [f for found in of for f in found]
    return (
        sum(f.inside for f in findings),
        len(findings),
        sum(all(f.inside for f in found) for found in of),
        len(of),
    )


def others(told: Sequence[Told]) -> dict[str, list[Told]]:
    """The independent experiments by the model as it is, which has run, and by models made wrong."""
    as_is = [t for t in told if t.id in independent()]
    wrong = {name: model for name, model in made_otherwise().items() if name != AS_IT_IS}
    return {AS_IT_IS: as_is, **{name: [RUNS[t.id](model) for t in as_is] for name, model in wrong.items()}}


def page(told: Sequence[Told], wrong: Mapping[str, Sequence[Told]], facts: Facts) -> str:
    """The whole page."""
    inside, all_, whole, of = score(told)
    beside, beside_all, _, _ = score(told, "consistency")
    worse = {name: score(made)[0] for name, made in wrong.items() if name != AS_IT_IS}
    flukes_in, of_flukes, *_ = score([t for t in told if t.group])
    parts = [
        HEAD.format(
            flukes=flukes_in,
            of_flukes=of_flukes,
            rest=inside - flukes_in,
            of_rest=all_ - of_flukes,
            inside=inside,
            all=all_,
            whole=whole,
            of=of,
            beside=beside,
            beside_all=beside_all,
            worse="; ".join(f"{name} {n}" for name, n in worse.items()),
            falls=power.falls(inside, worse),
            run=len(told),
            listed=len(experiments()),
            draws=DRAWS,
            stamp=stamp(facts),
        ),
        _fails(told),
        power.section(wrong, score),
        "## Independent experiments\n",
        *(_section(t) for t in told if t.id in independent()),
        "## Consistency: sources that stand behind a number in use\n",
        "A check that can hardly fail where the number was read from the same page, and tells "
        "something where "
        "several numbers are put together.\n",
        *(_section(t) for t in told if t.id not in independent()),
        "## Not represented\n",
        *(f"- `{id_}`, {experiments()[id_]['role']}: {why}." for id_, why in NOT_RUN.items()),
    ]
    return "\n".join(parts) + "\n"


def _fails(told: Sequence[Told]) -> str:
    rows = [
        f"- `{t.id}`: {f.what}. Published: {f.published}; the model: "
        f"{f.model}{'; ' + f.why if f.why else ''}."
        for t in told
        for f in t.of_role("independent")
        if not f.inside
    ]
    return "\n".join(["## What fails\n", *rows, ""])


def _section(told: Told) -> str:
    e = experiments()[told.id]
    rows = [f"### {e['title']}\n", f"`{told.id}`, {e['source']} ({e['status']}). {told.setting}\n"]
    if told.picture:
        rows.append(f"![Band of the model, its middle, and the published points](validation/{told.id}.svg)\n")
    rows += ["| what | published | model, 5 to 95 % | |", "| --- | --- | --- | --- |"]
    rows += [f"| {f.what} | {f.published} | {f.model} | {_verdict(f, e['role'])} |" for f in told.findings]
    return "\n".join([*rows, ""])


def _verdict(f: Finding, role: str) -> str:
    word = "inside" if f.inside else "**outside**"
    beside = " (consistency)" if f.role and f.role != role else ""
    return f"{word}{beside}{': ' + f.why if f.why else ''}"


def facts_now() -> Facts:
    """The facts that the runs read."""
    return as_it_is().facts


HEAD = """# Is the organism model true?

This page is made by `make validate`. The model is run, with no number fitted, in the setting of published
experiments; what they found stands beside what it says, in 5 to 95 % of {draws} draws. Nothing was turned
until it fitted: what fails stays here.

**{inside} of {all} independent findings lie inside; {whole} of {of} independent experiments do so in every
finding.** Independent means that the source feeds no number in use. Beside them {beside} of {beside_all}
findings of sources that do feed one, which do not count.

Of these, {of_flukes} are of counts of flukes, {flukes} of them inside. The counts feed no number, but when
they lay outside in an earlier run the facts of flukes were looked at again and changed, for reasons from
elsewhere (below). Who counts only what led to no such change has {rest} of {of_rest}.

**Made wrong on purpose, of {all} findings lie inside: {worse}.** So {falls}.

{run} of {listed} experiments are represented. What a source does not say was assumed, and stands with each.
A wide band is easily hit: inside shows that the model is not contradicted, not that it is sharp.

Facts and experiments of this page: `{stamp}`.
"""
