"""The documents of the program against the JSON Schemas that it prints, by the jsonschema package.

Source of the rules: JSON Schema draft 2020-12. Run by tests/outside/run, $STRUTWISE is the program.
"""

import json
import os
import subprocess
import tempfile
from pathlib import Path

from jsonschema import Draft202012Validator

PROGRAM = os.environ["STRUTWISE"]


def told(folder, *arguments):
    done = subprocess.run([PROGRAM, *arguments], cwd=folder, capture_output=True, text=True, check=False)
    assert done.returncode < 2, done.stderr
    return done.stdout


def main():
    count = 0
    with tempfile.TemporaryDirectory() as folder:
        validators = {}
        for name in ("shell", "frame"):
            schema = json.loads(told(folder, "schema", name))
            Draft202012Validator.check_schema(schema)
            validators[name] = Draft202012Validator(schema)
        # A schema that takes anything would prove nothing.
        assert list(validators["shell"].iter_errors({"strutwise": "0.1.0"})), "the schema takes an empty document"
        broken = None
        for form in ("dome", "tunnel", "barrel", "mesh", "frame"):
            told(folder, "new", f"{form}.toml", "--form", form)
            kind = "frame" if form == "frame" else "shell"
            runs = [("check", f"{form}.toml", "--json"), ("check", f"{form}.toml", "--json", "--full")]
            for arguments in runs:
                document = json.loads(told(folder, *arguments))
                errors = [f"{list(error.absolute_path)}: {error.message[:100]}"
                          for error in validators[kind].iter_errors(document)]
                assert not errors, (arguments, errors[:5])
                broken = broken or dict(document, verdict="perhaps")
                count += 1
        assert list(validators["shell"].iter_errors(broken)), "the schema takes any verdict"
        plain = Path(folder, "frame.toml").read_text(encoding="utf-8").split("[analysis]")[0]
        for analysis in ('kind = "second-order"', 'kind = "buckling"\ncount = 3', 'kind = "modes"\ncount = 3'):
            Path(folder, "frame.toml").write_text(f"{plain}[analysis]\n{analysis}\n", encoding="utf-8")
            document = json.loads(told(folder, "check", "frame.toml", "--json"))
            validators["frame"].validate(document)
            count += 1
    print(f"{count} documents are as their schemas say")


main()
