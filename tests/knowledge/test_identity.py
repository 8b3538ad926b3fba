"""CAS numbers by their check digit; molar masses and active shares worked out again from the formulas."""

import re

import pytest

from tankward.knowledge.loader import load

# Standard atomic weights, abridged (IUPAC 2021).
WEIGHT = {
    "H": 1.008, "C": 12.011, "N": 14.007, "O": 15.999, "F": 18.998, "Na": 22.990, "Mg": 24.305, "P": 30.974,
    "S": 32.06, "Cl": 35.45, "K": 39.098, "Mn": 54.938, "Cu": 63.546, "Br": 79.904, "I": 126.904,
}  # fmt: skip

SUBSTANCES = load().substances
FORMS = [(s.id, form) for s in SUBSTANCES.values() for form in s.form]


def molar_mass(formula):
    return sum(WEIGHT[atom] * int(n or 1) for atom, n in re.findall(r"([A-Z][a-z]?)(\d*)", formula))


def check_digit_holds(cas):
    *digits, check = cas.replace("-", "")
    return sum(i * int(d) for i, d in enumerate(reversed(digits), 1)) % 10 == int(check)


def test_the_check_digit_can_fail():
    assert check_digit_holds("7732-18-5")  # water
    assert not check_digit_holds("7732-18-4")


def test_molar_mass_of_a_hand_worked_formula():
    """Copper sulfate pentahydrate: 63.546 + 32.06 + 9 x 15.999 + 10 x 1.008 = 249.677."""
    assert molar_mass("CuSO9H10") == pytest.approx(249.677, abs=1e-6)


def test_cas_numbers():
    numbers = [c for s in SUBSTANCES.values() for c in (*s.cas, *(f.cas for f in s.form))]
    assert len(numbers) > 60
    assert [c for c in numbers if not re.fullmatch(r"\d{2,7}-\d{2}-\d", c) or not check_digit_holds(c)] == []


def test_molar_masses():
    stated = {s.id: (s.formula, s.molar_mass_g_mol) for s in SUBSTANCES.values() if s.formula}
    assert len(stated) == 52
    for substance, (formula, mass) in stated.items():
        assert mass == pytest.approx(molar_mass(formula), abs=0.05), substance


@pytest.mark.parametrize(("substance", "form"), FORMS, ids=[f"{s} {f.name}" for s, f in FORMS])
def test_active_shares(substance, form):
    mass = molar_mass(form.formula)
    assert form.molar_mass_g_mol == pytest.approx(mass, abs=0.05)
    active = form.active_per_formula * molar_mass(form.active_formula) / mass
    assert form.active_fraction == pytest.approx(active, abs=0.0005)
    assert 0 < form.active_fraction <= 1


def test_copper_sulfate_is_a_quarter_copper():
    forms = {f.name: f.active_fraction for f in SUBSTANCES["copper"].form}
    assert forms["pentahydrate, as copper"] == pytest.approx(63.546 / 249.677, abs=5e-5)
