"""Licences of everything that the program is built from, against a list of those that may be used.

Reads `cargo metadata` of the lock file and nothing from the network. Packages that only tests use count too.
Known faults (advisories) are the business of check_advisories.py.
"""

import json
import re
import subprocess
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
ALLOWED = {
    "MIT", "MIT-0", "Apache-2.0", "Apache-2.0 WITH LLVM-exception", "BSD-2-Clause", "BSD-3-Clause", "ISC", "Zlib",
    "Unicode-3.0", "Unicode-DFS-2016", "Unlicense", "0BSD", "BSL-1.0", "CC0-1.0",
}


def may_be_used(expression):
    """An SPDX expression: `OR` wants one of its sides, `AND` both, brackets group."""
    tokens = re.findall(r"\(|\)|[^\s()]+", expression.replace("/", " OR "))

    def either():
        good = both()
        while tokens and tokens[0] == "OR":
            tokens.pop(0)
            good = both() or good
        return good

    def both():
        good = one()
        while tokens and tokens[0] == "AND":
            tokens.pop(0)
            good = one() and good
        return good

    def one():
        name = tokens.pop(0)
        if name == "(":
            good = either()
            assert tokens.pop(0) == ")", expression
            return good
        if tokens and tokens[0] == "WITH":
            tokens.pop(0)
            name = f"{name} WITH {tokens.pop(0)}"
        return name in ALLOWED

    good = either()
    assert not tokens, f"cannot read the licence {expression!r}"
    return good


def main():
    # The reader itself first: a check that takes everything is none.
    assert may_be_used("MIT OR GPL-3.0-only") and may_be_used("(MIT OR Apache-2.0) AND Unicode-3.0")
    assert not may_be_used("GPL-3.0-only") and not may_be_used("MIT AND GPL-3.0-only")
    # Only what this platform builds: the sources of other platforms' packages are not at hand offline.
    version = subprocess.run(["rustc", "-vV"], capture_output=True, text=True, check=True).stdout
    host = re.search(r"^host: (\S+)$", version, re.M).group(1)
    command = ["cargo", "metadata", "--format-version", "1", "--locked", "--offline", "--filter-platform", host]
    packages = json.loads(subprocess.run(command, cwd=ROOT, capture_output=True, check=True).stdout)["packages"]
    assert len(packages) > 50, "the list of packages is short: is this the right folder?"
    with (ROOT / "deny.toml").open("rb") as file:
        assert set(tomllib.load(file)["licenses"]["allow"]) == ALLOWED, "deny.toml has another list of licences"
    wrong = []
    for package in packages:
        licence = package["license"]
        if licence is None or not may_be_used(licence):
            wrong.append(f"{package['name']} {package['version']}: {licence}")
    assert not wrong, "licences that are not on the list:\n" + "\n".join(wrong)
    print(f"{len(packages)} packages, all under licences of the list")


main()
