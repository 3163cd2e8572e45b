"""Geometry against trimesh: what `draw -o x.obj` and `check --json` say is measured again by a library
that shares nothing with the program.

Looked at: one surface, wound one way, Euler's number, closed and watertight once the base is closed, area
and volume, fold angles and which of them are convex; at frequency 2 the whole sphere against the library's
own, of which the parts above and below a cut are the two halves.
"""

import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
import trimesh

PROGRAM = os.environ["STRUTWISE"]
REST = """
[timber]
grade = "C24"
breadth = "63 mm"
depth = "75 mm"
service_class = 3
[joints]
models = ["rigid"]
[cover]
weight = "9 kg/m2"
[snow]
left_out = "geometry only"
[wind]
left_out = "geometry only"
[feet]
held = "pinned"
uplift = "4 kN"
"""

failures = []


def expect(name, found, wanted, near):
    if not abs(found - wanted) <= near:
        failures.append(f"{name}: {found} where {wanted} was expected, within {near}")


def holds(name, statement):
    if not statement:
        failures.append(name)


def built(folder, name, shell):
    project = folder / f"{name}.toml"
    head = '[project]\nname = "Larkfold geometry"\nbasis = "eurocode"\n[shell]\n'
    project.write_text(head + shell + REST)
    drawn = folder / f"{name}.obj"
    told = subprocess.run([PROGRAM, "draw", project, "-o", drawn], capture_output=True, text=True)
    if told.returncode != 0:
        sys.exit(f"{name}: draw ended with {told.returncode}: {told.stderr}")
    checked = subprocess.run([PROGRAM, "check", project, "--json"], capture_output=True, text=True)
    if checked.returncode not in (0, 1):
        sys.exit(f"{name}: check ended with {checked.returncode}: {checked.stderr}")
    mesh = trimesh.load(drawn, process=False, force="mesh", maintain_order=True)
    return mesh, json.loads(checked.stdout)


def closed(mesh):
    """The mesh with its one boundary closed by a fan on the base plane."""
    edges = trimesh.grouping.group_rows(mesh.edges_sorted, require_count=1)
    rim = mesh.edges[edges]
    middle = len(mesh.vertices)
    points = np.vstack([mesh.vertices, mesh.vertices[np.unique(rim)].mean(axis=0)])
    fan = np.column_stack([rim[:, 1], rim[:, 0], np.full(len(rim), middle)])
    return trimesh.Trimesh(points, np.vstack([mesh.faces, fan]), process=False)


def folds_agree(name, mesh, document):
    joints = {joint["id"]: np.array(joint["at"]) for joint in document["joints"]}
    vertices = {tuple(np.round(at, 9)): number for number, at in enumerate(mesh.vertices)}
    number = {key: vertices[tuple(np.round(at, 9))] for key, at in joints.items()}
    folds = {}
    for member in document["members"]:
        a, b = (number[joint] for joint in member["joints"])
        folds[(min(a, b), max(a, b))] = member
    seen = 0
    for edge, angle, convex in zip(
        mesh.face_adjacency_edges, mesh.face_adjacency_angles, mesh.face_adjacency_convex
    ):
        member = folds.get((min(edge), max(edge)))
        if member is None:  # the library's own diagonal across a four-cornered panel
            expect(f"{name} a four-cornered panel is flat", np.degrees(angle), 0.0, 1e-5)
            continue
        seen += 1
        expect(f"{name} {member['id']} fold", abs(member["fold_deg"]), np.degrees(angle), 1e-5)
        if abs(member["fold_deg"]) > 1e-3:
            holds(f"{name} {member['id']} ridge or valley", convex == (member["fold_deg"] > 0))
        length = np.linalg.norm(mesh.vertices[edge[0]] - mesh.vertices[edge[1]])
        expect(f"{name} {member['id']} length", member["length"], length, 1e-9)
    expect(f"{name} seams seen", seen, document["counts"]["seams"], 0)


def main():
    half = np.sin(np.pi / 10)
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        domes = {
            f"dome-{f}-{up}": f'form = "dome"\nradius = "2 m"\nfrequency = {f}\nup = "{up}"\nbase = "{base} m"\n'
            for f, up, base in [(1, "face", 0.1), (2, "vertex", 0.0), (3, "vertex", -0.3), (3, "edge", 0.5), (5, "face", 0.2)]
        }
        others = {
            "capsule-2": 'form = "tunnel"\nradius = "2.1 m"\nfrequency = 2\nbands = 2\n',
            "capsule-4": 'form = "tunnel"\nradius = "3 m"\nfrequency = 4\nbands = 4\nbase = "-0.3 m"\n',
        }
        for name, shell in (domes | others).items():
            mesh, document = built(folder, name, shell)
            counts = document["counts"]
            expect(f"{name} Euler", mesh.euler_number, 1, 0)
            holds(f"{name} is wound one way", mesh.is_winding_consistent)
            expect(f"{name} in one piece", mesh.body_count, 1, 0)
            expect(f"{name} joints", len(mesh.vertices), counts["joints"], 0)
            whole = closed(mesh)
            holds(f"{name} is watertight once closed", whole.is_watertight)
            holds(f"{name} faces outward", whole.volume > 0)
            if name.startswith("dome"):
                holds(f"{name} is convex", bool(np.all(mesh.face_adjacency_convex | (mesh.face_adjacency_angles < 1e-6))))
            folds_agree(name, mesh, document)
            if name == "capsule-2":
                short = [m["length"] for m in document["members"] if abs(m["length"] - 4.2 * half) < 1e-9]
                holds("capsule-2 has the decagon's edge", len(short) > 20)

        # The sphere is its own image through the centre, so above h and above -h make a whole.
        own = trimesh.creation.icosphere(subdivisions=1, radius=2.0)
        parts = [
            built(folder, f"part{sign}", f'form = "dome"\nradius = "2 m"\nfrequency = 2\nbase = "{sign}0.4 m"\n')[0]
            for sign in ("", "-")
        ]
        expect("area above and below", sum(part.area for part in parts), own.area, 1e-9 * own.area)
        volume = sum(closed(part).volume for part in parts)
        expect("volume above and below", volume, own.volume, 1e-9 * own.volume)
        angles = np.unique(np.round(np.degrees(own.face_adjacency_angles), 6))
        _, document = built(folder, "sphere", 'form = "dome"\nradius = "2 m"\nfrequency = 2\nbase = "0 m"\n')
        for member in document["members"]:
            if member["fold_deg"]:
                holds(f"{member['id']} folds as the library's sphere", np.min(abs(angles - member["fold_deg"])) < 1e-5)

    for failure in failures[:30]:
        print(failure)
    if failures:
        sys.exit(f"{len(failures)} disagreements")
    print("geometry agrees with trimesh", trimesh.__version__)


if __name__ == "__main__":
    main()
