"""`tankward calc`: what a script may rely on."""

import json

import pytest

from tankward.cli.main import run


def test_a_number_comes_with_its_working_and_sources(capsys: pytest.CaptureFixture[str]) -> None:
    code = run(["calc", "redose", "level=2mg/L", "now=0.9mg/L", "volume=54L", "change=30%", "--json"])
    answer = json.loads(capsys.readouterr().out)
    assert code == 0
    assert answer["value"] == pytest.approx((2 - 0.9 * 0.7) * 54)  # by hand
    assert answer["shown"] == "74 mg"
    assert [step["value"] for step in answer["how"]][-1] == answer["value"]


def test_a_range_typed_in_comes_out_as_a_range(capsys: pytest.CaptureFixture[str]) -> None:
    run(["calc", "redose", "level=2mg/L", "now=0.9mg/L", "volume=50 to 58 L", "change=30%", "--json"])
    answer = json.loads(capsys.readouterr().out)
    assert 1.37 * 50 <= answer["low"] < answer["value"] < answer["high"] <= 1.37 * 58


@pytest.mark.parametrize(
    ("words", "named", "accepted"),
    [
        (["redose", "level=2", "volume=54L", "change=30%"], "level", "2 mg/L"),
        (["redose", "level=2mg/L", "volume=10 gal", "change=30%"], "volume", "US gal or imp gal"),
        (["redose", "level=2mg/L", "volume=54L", "change=130%"], "change", "between 0 and 100 %"),
        (["ammonia", "reading=0.5mg/L", "as=N", "ph=15", "temp=26C"], "ph", "between 0 and 14"),
        (["nothing-such"], "calculation", "redose"),
        (["redose", "54L"], "input", "key=value"),
    ],
)
def test_a_fault_is_one_sentence(
    words: list[str], named: str, accepted: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["calc", *words]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith(f"{named}: ") and accepted in err and err.count("\n") == 1


def test_every_calculation_has_help_and_is_listed(capsys: pytest.CaptureFixture[str]) -> None:
    run(["calc", "--json"])
    listed = json.loads(capsys.readouterr().out)["calculations"]
    assert {"volume", "ammonia", "redose"} <= {row["name"] for row in listed}
    for row in listed:
        assert run(["calc", row["name"], "--help"]) == 0
        told = capsys.readouterr().out
        assert row["purpose"] in told and all(i["name"] in told for i in row["inputs"])
