#!/usr/bin/env python3
"""Writes THIRD-PARTY.md: the typeface's notices and the licence of every crate that is built into the program.

    python3 .ci/third_party.py            write it
    python3 .ci/third_party.py --check    exit with 1 if it is not what would be written

Reads `cargo metadata`, so the crates' sources must be there (`cargo fetch`).
"""
import json
import pathlib
import re
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parent.parent
OUT = ROOT / "THIRD-PARTY.md"
# One licence of several offered is taken, the first of these.
PREFERRED = ["MIT", "MIT-0", "Zlib", "BSD-2-Clause", "BSD-3-Clause", "ISC", "Apache-2.0", "Unicode-3.0", "CC0-1.0", "Unlicense", "BSL-1.0"]
FILES = {
    "MIT": r"(?i)^licen[cs]e.*mit|^mit|^licen[cs]e(\.|$)|^copying",
    "Zlib": r"(?i)zlib|^licen[cs]e(\.|$)",
    "Apache-2.0": r"(?i)^licen[cs]e.*apache|^licen[cs]e(\.|$)",
}
USUAL = r"(?i)^(licen[cs]e|copying|unlicense)"


def metadata():
    run = ["cargo", "metadata", "--format-version", "1", "--locked"]
    return json.loads(subprocess.run(run, cwd=ROOT, check=True, capture_output=True, text=True).stdout)


def built_in(data):
    """Packages reached by ordinary dependencies alone, by name and version."""
    packages = {p["id"]: p for p in data["packages"]}
    nodes = {n["id"]: n for n in data["resolve"]["nodes"]}
    root = data["resolve"]["root"]
    seen, todo = set(), [root]
    while todo:
        here = todo.pop()
        if here in seen:
            continue
        seen.add(here)
        for dep in nodes[here]["deps"]:
            if any(kind["kind"] is None for kind in dep["dep_kinds"]):
                todo.append(dep["pkg"])
    seen.remove(root)
    return sorted((packages[i] for i in seen), key=lambda p: (p["name"], p["version"]))


def chosen(expression):
    """The licences that are taken of an expression: one of each set of alternatives, all that are joined by AND."""
    if not expression:
        return ["see its files"]
    taken = []
    for part in re.split(r"\s+AND\s+", expression.replace("/", " OR ")):
        offered = re.findall(r"[A-Za-z0-9.+-]+", re.sub(r"\bWITH\s+\S+", "", part))
        offered = [o for o in offered if o != "OR"]
        taken.append(next((p for p in PREFERRED if p in offered), offered[0]))
    return sorted(set(taken))


def texts(package, licences):
    """The licence files of a package that say what is taken."""
    folder = pathlib.Path(package["manifest_path"]).parent
    names = sorted(f.name for f in folder.iterdir() if f.is_file())
    found = []
    for licence in licences:
        wanted = [n for n in names if re.search(FILES.get(licence, USUAL), n)]
        exact = [n for n in wanted if licence.split("-")[0].lower() in n.lower()]
        if exact or wanted:
            found.append((exact or wanted)[0])
    if not found:
        found = [n for n in names if re.search(USUAL, n)][:1]
    return [(folder / n).read_text(errors="replace") for n in sorted(set(found))]


def apart(text):
    """Copyright lines, and the rest of a licence with its spaces evened so that equal ones are equal."""
    lines = [line.strip() for line in text.replace("\r", "").splitlines()]
    rights = [line for line in lines if re.match(r"(?i)^(copyright|\(c\)|©)", line) and len(line) < 200]
    if "Apache License" in text and len(text) > 8000:
        rights = [r for r in rights if "[yyyy]" not in r and "owner" not in r.lower()]
    body = "\n".join(line for line in lines if line not in rights)
    body = re.sub(r"\n{3,}", "\n\n", body).strip()
    return rights, body


def key(body):
    return re.sub(r"[^a-z0-9]+", " ", body.lower()).strip()


def typeface(packages):
    font = next(p for p in packages if p["name"] == "dejavu")
    folder = pathlib.Path(font["manifest_path"]).parent
    notice = next(folder.glob("assets/*/LICENSE"))
    return f"{font['name']} {font['version']}", notice.read_text(errors="replace").replace("\r", "").strip()


def write():
    packages = built_in(metadata())
    crate, notice = typeface(packages)
    out = [
        "# What others made",
        "",
        "Sawpierce itself is under the licence in LICENSE. Built into it are the works below; their notices go with every copy.",
        "This page is made by `python3 .ci/third_party.py`; do not edit it by hand.",
        "",
        "## The typeface",
        "",
        "Every page is set in DejaVu Sans Condensed, the condensed cut of DejaVu Sans, and every PDF carries the letters it uses.",
        f"It comes with the crate {crate}; the typeface itself is under the notices of Bitstream Vera and Arev, in full:",
        "",
        "```text",
        notice,
        "```",
        "",
        "## Crates",
        "",
        "| crate | version | licence offered | taken |",
        "|---|---|---|---|",
    ]
    bodies = {}
    for p in packages:
        licences = chosen(p["license"])
        out.append(f"| {p['name']} | {p['version']} | {p['license'] or 'see its files'} | {', '.join(licences)} |")
        for text in texts(p, licences):
            rights, body = apart(text)
            entry = bodies.setdefault(key(body), (body, []))
            entry[1].append((f"{p['name']} {p['version']}", rights))
    out += ["", "## Their licences", ""]
    order = sorted(bodies.values(), key=lambda e: (-len(e[1]), e[1][0][0]))
    for number, (body, users) in enumerate(order, 1):
        out += [f"### {number}", ""]
        for name, rights in users:
            out.append(f"- {name}" + (": " + "; ".join(rights) if rights else ""))
        out += ["", "```text", body, "```", ""]
    return "\n".join(out).rstrip() + "\n"


def main():
    text = write()
    if "--check" in sys.argv[1:]:
        if not OUT.exists() or OUT.read_text() != text:
            sys.exit("THIRD-PARTY.md is not up to date: python3 .ci/third_party.py")
        return
    OUT.write_text(text)


if __name__ == "__main__":
    main()
