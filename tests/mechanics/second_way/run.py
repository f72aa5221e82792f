"""Works the examples of tests/mechanics/examples out a second time, with numpy and scipy.

run.py [--show] [NAME ...]: for each NAME (all modules beside this file without one) runs every block of
NAME.ex through the function of that ID in NAME.py and compares. --show prints what they return instead."""
import importlib
import math
import pathlib
import sys

here = pathlib.Path(__file__).resolve().parent
examples = here.parent / "examples"
sys.path[:0] = [str(here), str(here / "findings")]


def values_of(text):
    """Returns name -> (numbers or words, unit)."""
    values = {}
    for part in text.split(";"):
        name, _, rest = part.strip().partition("=")
        words, _, unit = rest.partition("[")
        try:
            found = [float(word) for word in words.split()]
        except ValueError:
            found = words.split()
        values[name] = (found, unit.rstrip("]"))
    return values


def blocks_of(path):
    """Yields (id, is absolute, tolerance, in, out)."""
    head = None
    for line in path.read_text().splitlines():
        if line.startswith("```ex"):
            head = line.split()
            given, wanted = {}, {}
        elif line.startswith("```") and head:
            kind, _, tolerance = head[2].partition("=")
            yield head[1], kind == "abs", float(tolerance), given, wanted
            head = None
        elif head and line.startswith("in: "):
            given.update(values_of(line[4:]))
        elif head and line.startswith("out: "):
            wanted.update(values_of(line[5:]))


def plain(given):
    return {name: found[0] if len(found) == 1 else found for name, (found, unit) in given.items()}


def compare(name, is_absolute, tolerance, wanted, found):
    """Returns how many values are off."""
    off = 0
    for key in sorted(set(wanted) | set(found)):
        theirs = wanted.get(key, ([], ""))[0]
        ours = list(found[key]) if hasattr(found.get(key), "__len__") else [found.get(key)]
        if len(theirs) != len(ours):
            print(f"{name} {key}: {len(theirs)} values in the example, {ours} here")
            off += 1
            continue
        for their, our in zip(theirs, ours):
            slack = tolerance if is_absolute or their == 0 else tolerance * abs(their)
            if math.isnan(our) or not (their == our or abs(their - our) <= slack):
                print(f"{name} {key}: {their} in the example, {our:.9g} here")
                off += 1
    return off


def show(found):
    for key, values in found.items():
        values = values if hasattr(values, "__len__") else [values]
        print(f"  {key}=" + " ".join(f"{value:.9g}" for value in values))


def missing_of(names):
    """Names the examples that nothing here works out again, and returns how many blocks they have."""
    rest = {path.stem: len(list(blocks_of(path))) for path in examples.glob("**/*.ex") if path.stem not in names}
    if rest:
        print(f"{sum(rest.values())} blocks elsewhere, without a module here: {', '.join(sorted(rest))}")
    return sum(rest.values())


def main(words):
    names = [word for word in words if word != "--show"]
    is_all = not names
    names = names or sorted(path.stem for path in here.glob("**/*.py") if path.stem != "run")
    off = count = 0
    for name in names:
        functions = dict(importlib.import_module(name).blocks)
        for ident, is_absolute, tolerance, given, wanted in blocks_of(next(examples.glob(f"**/{name}.ex"))):
            if ident not in functions:
                print(f"{name}: {ident} has no function")
                off += 1
                continue
            found = functions.pop(ident)(plain(given))
            count += 1
            if "--show" in words:
                print(ident)
                show(found)
            else:
                off += compare(f"{name} {ident}", is_absolute, tolerance, wanted, found)
        if functions:
            print(f"{name}: no block for {', '.join(functions)}")
            off += 1
    print(f"{count} blocks, {off} off")
    missing = missing_of(names) if is_all else 0
    return 1 if off or missing or not count else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
