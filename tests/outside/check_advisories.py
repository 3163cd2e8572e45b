"""Known faults (advisories) of the packages in Cargo.lock, against the file of those looked up by hand.

Nothing from the network. Fails when a locked version falls into an affected range that is not accepted with a reason, when
Cargo.lock names a package that has not been looked up, and when what was accepted is no longer affected. What was
published after the day in the file is not known here: `cargo deny check advisories` asks for that.
"""

import re
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def numbers(version):
    """Major, minor, patch; and whether it is no pre-release, which comes before its release."""
    match = re.fullmatch(r"(\d+)(?:\.(\d+))?(?:\.(\d+))?(-[0-9A-Za-z.-]+)?(?:\+\S*)?", version)
    assert match, f"no version: {version!r}"
    return (*(int(part or 0) for part in match.groups()[:3]), match[4] is None)


def takes(requirement, version):
    """Whether a requirement such as `>= 0.7.4, < 0.8.0` or `^0.3.1` takes a version."""
    found = numbers(version)
    for part in requirement.split(","):
        match = re.fullmatch(r"(>=|<=|>|<|=|\^)\s*(\S+)", part.strip())
        assert match, f"cannot read the requirement {requirement!r}"
        sign, wanted = match[1], numbers(match[2])
        if sign == "^":
            # Up to the next change of the leftmost number that is not 0.
            major, minor, patch, _ = wanted
            top = (major + 1, 0, 0) if major else (0, minor + 1, 0) if minor else (0, 0, patch + 1)
            good = wanted <= found and found[:3] < top
        else:
            good = {
                ">=": found >= wanted, "<=": found <= wanted, ">": found > wanted, "<": found < wanted,
                "=": found == wanted,
            }[sign]
        if not good:
            return False
    return True


def affected(advisory, version):
    return not any(takes(known, version) for known in advisory["patched"] + advisory["unaffected"])


def complaints(lock, known):
    wrong = []
    locked = [(p["name"], p["version"]) for p in lock["package"] if "source" in p]
    for name in sorted({name for name, _ in locked} - set(known["packages"])):
        wrong.append(f"{name} is new in Cargo.lock: look its advisories up and add it to advisories.toml")
    for advisory in known["advisory"]:
        name = advisory["package"]
        assert name in known["packages"], f"{advisory['id']} is of a package that was not looked up"
        hit = [version for of, version in locked if of == name and affected(advisory, version)]
        if hit and "accepted" not in advisory:
            wrong.append(f"{name} {', '.join(hit)}: {advisory['id']} ({advisory['kind']}): take a patched version")
        if not hit and "accepted" in advisory:
            wrong.append(f"{name}: {advisory['id']} is accepted and no longer applies: take the reason out")
    return wrong


def main():
    # The reader first: a check that takes everything is none.
    assert takes(">= 0.7.4, < 0.8.0", "0.7.9") and not takes(">= 0.7.4, < 0.8.0", "0.8.0")
    assert takes("^0.3.1", "0.3.9") and not takes("^0.3.1", "0.4.0") and not takes("< 1.0.0", "1.0.0")
    assert takes("^1.2", "1.9.0") and not takes("^1.2", "2.0.0") and not takes(">= 1.0.0", "1.0.0-rc.1")
    with (ROOT / "tests/outside/advisories.toml").open("rb") as file:
        known = tomllib.load(file)
    with (ROOT / "Cargo.lock").open("rb") as file:
        lock = tomllib.load(file)
    source = "registry"
    old = {"package": [{"name": "slab", "version": "0.4.10", "source": source}]}
    new = {"package": [{"name": "a-new-one", "version": "1.0.0", "source": source}]}
    assert any("RUSTSEC-2025-0047" in words for words in complaints(old, known))
    assert any("a-new-one is new" in words for words in complaints(new, known))
    wrong = complaints(lock, known)
    # cargo-deny must not ignore more than is accepted here, nor less.
    with (ROOT / "deny.toml").open("rb") as file:
        ignored = {item["id"] for item in tomllib.load(file)["advisories"]["ignore"]}
    if ignored != (accepted := {a["id"] for a in known["advisory"] if "accepted" in a}):
        wrong.append(f"deny.toml ignores {sorted(ignored)}, advisories.toml accepts {sorted(accepted)}")
    assert not wrong, "\n".join(wrong)
    kept = [f"{a['package']} ({a['kind']})" for a in known["advisory"] if "accepted" in a]
    names = {p["name"] for p in lock["package"] if "source" in p}
    print(
        f"{len(names)} packages looked up by {known['looked_up']}, {len(known['advisory'])} advisories, none of a locked "
        f"version but {', '.join(kept)}; later ones are not known here"
    )


main()
