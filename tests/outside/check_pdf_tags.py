"""The PDF of the notes, read with pikepdf: a tree of structure over the whole of what is written, in reading
order, tables with heads, pictures with words, nothing that is neither tagged nor an artifact."""

import os
import pathlib
import subprocess
import tempfile

import pikepdf

HEADINGS = ("/H1", "/H2", "/H3")


def must(truth, words):
    if not truth:
        raise SystemExit(f"FAULT: {words}")


def read(path):
    """Checks one file and answers with what was counted."""
    pdf = pikepdf.open(path)
    root = pdf.Root
    must(bool(root.MarkInfo.Marked), "it says that it is tagged")
    must(str(root.Lang) == "en", "it names its language")
    must(bool(root.ViewerPreferences.DisplayDocTitle), "its title is shown")
    tree = root.StructTreeRoot
    pages = {page.obj.objgen: n for n, page in enumerate(pdf.pages)}
    owners = {}
    numbers = tree.ParentTree.Nums
    for k in range(0, len(numbers), 2):
        owners[int(numbers[k])] = numbers[k + 1]
    claimed, counts, headings = set(), {}, []

    def walk(element, parent):
        role = str(element.S)
        counts[role] = counts.get(role, 0) + 1
        must(element.P.objgen == parent.objgen, f"{role} names its parent")
        if role in HEADINGS:
            headings.append(role)
        if role == "/Figure":
            must(len(str(element.get("/Alt", ""))) > 8, "a picture has words")
        if role == "/TH":
            must(str(element.A[0].Scope) == "/Column", "a head says what it heads")
        if role == "/Table":
            rows = [kid for kid in element.K if str(kid.S) == "/TR"]
            wide = {len(row.K) for row in rows}
            must(len(wide) == 1, f"rows of a table are of one length: {wide}")
            must(all(str(cell.S) == "/TH" for cell in rows[0].K), "a table begins with its heads")
            must(len(rows) > 1, "a table has rows")
        home = element.get("/Pg")
        for kid in element.get("/K", []):
            if isinstance(kid, int):
                mark(pages[home.objgen], int(kid), element)
            elif "/MCID" in kid:
                mark(pages[kid.Pg.objgen], int(kid.MCID), element)
            else:
                walk(kid, element)

    def mark(page, number, element):
        must((page, number) not in claimed, "a piece belongs to one element")
        claimed.add((page, number))
        must(owners[page][number].objgen == element.objgen, "the way back leads to the same element")

    for top in tree.K:
        walk(top, tree)

    found = set()
    for n, page in enumerate(pdf.pages):
        must(int(page.obj.StructParents) == n, "a page names its list of owners")
        depth = 0
        for operands, operator in pikepdf.parse_content_stream(page):
            name = str(operator)
            if name == "BDC":
                depth += 1
                must((n, int(operands[1].MCID)) not in found, "a number is used once on a page")
                found.add((n, int(operands[1].MCID)))
            elif name == "BMC":
                depth += 1
                must(str(operands[0]) == "/Artifact", "what is not tagged is an artifact")
            elif name == "EMC":
                depth -= 1
            elif name in ("Tj", "TJ", "S", "f", "f*", "B"):
                must(depth == 1, f"{name} on page {n + 1} is marked once")
        must(depth == 0, "every mark is closed")
    must(found == claimed, "the tree holds what the pages mark, and nothing else")
    # A heading follows one that is no more than a step above it.
    levels = [int(role[2]) for role in headings]
    must(levels[0] == 1 and levels.count(1) == 1, "one title, first")
    must(all(b <= a + 1 for a, b in zip(levels, levels[1:])), "no step of headings is left out")
    marks = sum(1 for _ in pdf.open_outline().root)
    must(marks == levels.count(2), f"{marks} bookmarks for {levels.count(2)} sections")
    must(counts.get("/TOCI", 0) == levels.count(2), "the contents list every section")
    return len(pdf.pages), counts


program = os.environ["STRUTWISE"]
examples = pathlib.Path(__file__).resolve().parents[2] / "examples"
with tempfile.TemporaryDirectory() as folder:
    for name in ("bee-shelter-mesh", "cider-shed-barrel", "apple-store-dome"):
        out = pathlib.Path(folder) / f"{name}.pdf"
        done = subprocess.run([program, "notes", examples / f"{name}.toml", "-o", out], capture_output=True)
        must(done.returncode in (0, 1), f"{name}: exit code {done.returncode}")
        pages, counts = read(out)
        told = ", ".join(f"{counts.get(role, 0)} {role[1:]}" for role in ("/H2", "/H3", "/P", "/Table", "/TD", "/Figure"))
        print(f"{name}: {pages} pages, {told}")
