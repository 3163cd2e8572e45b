"""The sheets that the program's rules are held to (tests/outside/rules) are what their scripts give today.

    python tests/outside/check_rules.py

The rules themselves are held to the sheets by `cargo test --lib rules::recomputed`.
"""

import pathlib
import subprocess
import sys

LAY = pathlib.Path(__file__).parent / "rules" / "lay.py"
sys.exit(subprocess.run([sys.executable, str(LAY), "--held"], check=False).returncode)
