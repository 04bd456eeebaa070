"""Writes random cases for our side to answer, and holds the answers against outside libraries.

    reference.py write DIR [--fresh] [--only SUBJECT]    DIR/SUBJECT-SEED.in.json for every seed
    reference.py compare DIR                             reads DIR/SUBJECT-SEED.out.json beside them

Between the two, `cargo test --test it reference::export` answers every case. A subject is a module
with `cases(rng)` and `checks(case, answer)`, which yields `Check`s; what it has to know of all cases
first goes into its `prepare(pairs)`. Lengths are millimetres.
"""

import json
import secrets
import sys
from pathlib import Path

import numpy as np

import balls
import beddings
import building
import fittings
import flights
import lines
import models
import pieces
import propagation
import stocks
import sheets
import surveys
import winders

SUBJECTS = {
    "pieces": pieces,
    "lines": lines,
    "flights": flights,
    "surveys": surveys,
    "beddings": beddings,
    "fittings": fittings,
    "balls": balls,
    "propagation": propagation,
    "stocks": stocks,
    "sheets": sheets,
    "building": building,
    "models": models,
    "winders": winders,
}
FRESH_SEEDS = 3
HERE = Path(__file__).parent


def fixed_seeds():
    """The seeds of seeds.txt."""
    for number, line in enumerate((HERE / "seeds.txt").read_text().splitlines(), 1):
        words = line.split("#")[0].split()
        if not words:
            continue
        if len(words) != 2 or words[0] not in SUBJECTS or not words[1].isdigit():
            sys.exit(f"seeds.txt:{number}: wanted SUBJECT SEED, one of {', '.join(SUBJECTS)}")
        yield words[0], int(words[1])


def fresh_seeds():
    """New seeds for every subject."""
    for subject, module in SUBJECTS.items():
        for _ in range(getattr(module, "FRESH_SEEDS", FRESH_SEEDS)):
            yield subject, secrets.randbelow(2**32)


def write(directory, fresh, only):
    """One file of cases per seed, of one subject if it is named."""
    for subject, seed in fresh_seeds() if fresh else fixed_seeds():
        if only and subject != only:
            continue
        cases = SUBJECTS[subject].cases(np.random.default_rng(seed))
        document = {"subject": subject, "seed": seed, "cases": cases}
        (directory / f"{subject}-{seed}.in.json").write_text(json.dumps(document))


class Tally:
    """How one quantity of a subject fared."""

    def __init__(self):
        self.passed, self.worst, self.failures = 0, 0.0, []

    def add(self, seed, index, check):
        share = check.off / check.tolerance
        self.worst = max(self.worst, share)
        if share <= 1.0:
            self.passed += 1
        else:
            self.failures.append((seed, index, check))

    def show(self, subject, what):
        print(
            f"{subject}: {what}: {self.passed} agree, {len(self.failures)} differ, "
            f"worst at {self.worst:.2g} of the tolerance"
        )
        for seed, index, check in self.failures[:5]:
            print(
                f"    FAILED seed {seed} case {index}: ours {check.ours!r}, "
                f"reference {check.reference!r}, off by {check.off:.3g}, "
                f"allowed {check.tolerance:.3g}"
            )


def compare(directory):
    """Prints what agrees and what does not; the number of checks passed and failed."""
    tallies = {}
    for path in sorted(directory.glob("*.in.json")):
        asked = json.loads(path.read_text())
        subject, seed = asked["subject"], asked["seed"]
        answered = json.loads(path.with_name(f"{subject}-{seed}.out.json").read_text())
        pairs = list(zip(asked["cases"], answered["answers"], strict=True))
        if hasattr(SUBJECTS[subject], "prepare"):
            SUBJECTS[subject].prepare(pairs)
        for index, (case, answer) in enumerate(pairs):
            for check in SUBJECTS[subject].checks(case, answer):
                tallies.setdefault((subject, check.what), Tally()).add(seed, index, check)
    failing = set()
    for (subject, what), tally in sorted(tallies.items()):
        tally.show(subject, what)
        failing |= {(subject, seed) for seed, _, _ in tally.failures}
    for subject, seed in sorted(failing):
        print(f"a failing seed, for tests/reference/seeds.txt: {subject} {seed}")
    passed = sum(tally.passed for tally in tallies.values())
    failed = sum(len(tally.failures) for tally in tallies.values())
    return passed, failed


def main(words):
    if len(words) >= 2 and words[0] == "write":
        fresh = words[2:3] == ["--fresh"]
        rest = words[3:] if fresh else words[2:]
        if rest == [] or (len(rest) == 2 and rest[0] == "--only" and rest[1] in SUBJECTS):
            write(Path(words[1]), fresh, rest[1] if rest else None)
            return 0
    if len(words) == 2 and words[0] == "compare":
        passed, failed = compare(Path(words[1]))
        print(f"{passed} passed, {failed} failed")
        # No case at all proves nothing.
        return 0 if failed == 0 and passed > 0 else 1
    print(__doc__, file=sys.stderr)
    return 2


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
