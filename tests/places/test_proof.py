"""Proof of repair, pair by pair."""

from __future__ import annotations

from tests.places.test_by_hand import look, small
from tests.places.test_effects import one

from baybook.places.conclusion import conclude
from baybook.places.evidence import Evidence
from baybook.places.history import Repair
from baybook.places.proof import Proof
from baybook.places.sense import Question, Sense


def test_a_proof_by_its_pair() -> None:
    """Decided good or bad, or neither; as JSON with the steps."""
    bad, repair = look(1, 0.001, test="t"), Repair(2, ("filter",))
    after = {"proved": 0.95, "undecided": 0.94, "still bad": 0.05}
    for word, conforms in after.items():
        proof = Proof(repair, bad, look(3, conforms, test="t"))
        assert proof.word == word and proof.to_dict() == {
            "repair": {"step": 2, "parts": ["filter"]}, "test": "t", "object": "", "before": 1, "after": 3, "word": word,
        }  # fmt: skip
    assert Proof(repair, bad, None).word == "not repeated"


def test_what_comes_and_goes_is_proved_by_moving_it_again() -> None:
    """Other tests of the same place do not count then; nor does a complaint, nor what was not bad."""
    moved = one(1, 0.01, Question({"filter": 0.9}, provokes=True), "move")
    plain, repair = one(2, 0.01, Question({"filter": 0.9}), "plain"), Repair(3, ("filter",))
    assert [proof.before.test for proof in conclude([moved, plain, repair], small()).proofs] == ["move"]
    assert [proof.before.test for proof in conclude([plain, repair], small()).proofs] == ["plain"]
    assert conclude([one(1, 0.06, Question({"filter": 0.9}), "plain"), repair], small()).proofs == ()
    twice = conclude([plain, repair, one(4, 0.01, Question({"filter": 0.9}), "plain"), Repair(5, ("filter",))], small()).proofs
    assert [(proof.repair.step, proof.word) for proof in twice] == [(3, "still bad"), (5, "not repeated")]
    each = Sense({"": Question({"{object}": 0.9}, measures="m")}, 5.0)
    whole = Evidence(4, "w", 0.99, Sense({"": Question({"injector *": 0.9}, measures="m")}, 5.0))
    [proof] = conclude([Evidence(1, "e", 0.01, each, object="injector 2"), Repair(3, ("injector 2",)), whole], small()).proofs
    assert proof.word == "not repeated", "another test that looks at the same is no repetition"
