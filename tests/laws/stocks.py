"""Stock tanks, made up forward and run through their injectors together.

A litre at the hose takes 1/n of a litre of each stock tank, so it holds of an element what the grams in all tanks bring to
n litres of stock, what its water holds, and what the acid leaves. Which salts may share a tank is asked of a table of
pairs written here, and every way to split the salts is counted through: none uses fewer tanks than the sheet."""
import itertools

from elements import ACIDS, WEIGHT, add, compare, in_mg, report, shares
from forward import must, near, rows, value

# Salt by salt: what it brings to a concentrate.
KINDS = {"Ca(NO3)2.4H2O": {"calcium"}, "KNO3": set(), "Mg(NO3)2.6H2O": {"magnesium"}, "KH2PO4": {"phosphate"},
         "K2SO4": {"sulfate"}, "MgSO4.7H2O": {"sulfate", "magnesium"}, "NH4H2PO4": {"phosphate", "ammonium"},
         "CO(NH2)2": set(), "NaCl": set()}
LABELS = {"Iron DTPA": ({"Fe": 0.11}, {"chelate"}), "Silicate": ({"Si": 0.1, "K": 0.14}, {"silicate"})}
ACID_KINDS = {"nitric": {"acid"}, "phosphoric": {"acid", "phosphate"}, "sulfuric": {"acid", "sulfate"}}
NEVER = [("calcium", "sulfate"), ("calcium", "phosphate"), ("silicate", "calcium"), ("silicate", "magnesium"),
         ("silicate", "ammonium"), ("silicate", "acid"), ("chelate", "acid")]


def clash(a, b):
    return any((x in a and y in b) or (x in b and y in a) for x, y in NEVER)


def splits(items):
    """Every way to put the items into tanks."""
    if not items:
        yield []
        return
    for rest in splits(items[1:]):
        for i, tank in enumerate(rest):
            yield rest[:i] + [tank + [items[0]]] + rest[i + 1:]
        yield rest + [[items[0]]]


def fewest(kinds):
    sound = (s for s in splits(sorted(kinds))
             if not any(clash(kinds[a], kinds[b]) for tank in s for a, b in itertools.combinations(tank, 2)))
    return min(len(s) for s in sound)


def random_parts(dice):
    parts, holds, kinds = [], {}, {}
    for formula in dice.sample(sorted(KINDS), dice.randint(1, 5)):
        name = "salt " + formula
        parts.append({"name": name, "formula": formula, "rate": "%g g/L" % dice.between(0.05, 0.6)})
        holds[name], kinds[name] = shares(formula), KINDS[formula]
    for name, (label, kind) in LABELS.items():
        if dice.random() < 0.4:
            parts.append({"name": name, "rate": "%g g/L" % dice.between(0.01, 0.2), "analysis":
                          {"basis": "w/w", "as": "element", **{k: "%g %%" % (v * 100) for k, v in label.items()}}})
            holds[name], kinds[name] = label, kind
    return parts, holds, kinds


def hose_forward(sheet, n, make, tap, holds, acid):
    """mg/L of each nutrient at the hose by its source."""
    whole = {}
    add(whole, ("water", "tap"), tap, 1)
    for row in rows(sheet, "weigh", "pour"):
        if row["part"] == acid:
            _, share, density, molar, _, brings = ACIDS[acid]
            mass = {"NO3-N": 14.007, "P": WEIGHT["P"], "S": WEIGHT["S"]}[brings]
            grams = value(row["exact"], "mL") * density * share
            add(whole, ("acid", acid), {brings: 1}, grams / molar * mass * 1000 / make / n)
        else:
            add(whole, ("part", row["part"]), holds[row["part"]], value(row["exact"], "g") * 1000 / make / n)
    return whole


def of_an_injector(dice):
    """stock tanks hold what the hose should give, nothing clashes in one, and no fewer would do"""
    asked = []
    for _ in range(1000):
        n, make = dice.choice([50, 64, 100, 128, 200]), dice.between(2, 200, 1)
        parts, holds, kinds = random_parts(dice)
        tap = report(dice, ["Ca", "Mg", "Na", "Cl", "K", "S"])
        water = {"name": "tap", "ec": "0.5 mS/cm", "analysis": in_mg(tap)}
        question = {"job": "stock", "ratio": "1 in %d" % n, "make": "%g L" % make, "part": parts, "water": [water]}
        acid = dice.choice(sorted(ACIDS)) if dice.random() < 0.5 else None
        if acid:
            water["alkalinity"] = "%g mg/L CaCO3" % dice.between(100, 300, 1)
            strength, _, density, _, _, _ = ACIDS[acid]
            question.update({"acid": [{"name": acid, "strength": strength, "density": "%g kg/L" % density}],
                             "alkalinity": "60 mg/L CaCO3"})
            kinds[acid] = ACID_KINDS[acid]

        def check(sheet, n=n, make=make, tap=tap, holds=holds, kinds=kinds, acid=acid):
            compare(sheet, hose_forward(sheet, n, make, tap, holds, acid), {})
            tanks = {}
            for row in rows(sheet, "weigh", "pour"):
                tanks.setdefault(row["tank"], []).append(row["part"])
            for tank, inside in tanks.items():
                for a, b in itertools.combinations(inside, 2):
                    must(not clash(kinds[a], kinds[b]), a, "and", b, "clash in tank", tank)
            must(sorted(p for inside in tanks.values() for p in inside) == sorted(kinds), "not all is weighed once")
            must(len(tanks) == fewest(kinds), len(tanks), "tanks, and", fewest(kinds), "would do")
        asked.append((question, check))
    return asked


# g in 100 mL of water, the lower of 10 and 20 degC: handbooks, from memory.
DISSOLVES = {"H3BO3": 3.6, "MnSO4.H2O": 60.0, "ZnSO4.7H2O": 90.0, "CuSO4.5H2O": 27.0, "Na2MoO4.2H2O": 60.0}


def on_marks(amount, marks):
    return abs(amount / marks - round(amount / marks)) < 1e-6


def of_a_concentrate(dice):
    """what the scale cannot show is drawn from a concentrate that it can, dissolved, to half a mark"""
    asked = []
    for _ in range(600):
        n, make = dice.choice([50, 100, 200]), dice.between(2, 60, 1)
        scale, syringe = dice.choice([0.01, 0.1, 1]), dice.choice([0.1, 0.5, 1])
        rates = {f: dice.between(1e-4, 4e-3, 5) for f in dice.sample(sorted(DISSOLVES), dice.randint(1, 3))}
        question = {"job": "stock", "ratio": "1 in %d" % n, "make": "%g L" % make,
                    "bench": [{"name": "scale", "holds": "2000 g", "marks": "%g g" % scale},
                              {"name": "syringe", "holds": "60 mL", "marks": "%g mL" % syringe}],
                    "part": [{"name": f, "formula": f, "rate": "%g g/L" % r} for f, r in rates.items()]}

        def check(sheet, n=n, make=make, scale=scale, syringe=syringe, rates=rates):
            first = {r["part"]: r for r in rows(sheet, "predilute")}
            for formula, rate in rates.items():
                wanted = rate * n * make
                (row,) = [r for r in rows(sheet, "pour", "weigh") if r["part"] == formula]
                must((formula in first) == (wanted < 5 * scale * (1 - 1e-9)), formula, "of", wanted, "g at", scale)
                if formula not in first:
                    near("weighed", value(row["amount"], "g"), wanted, 0.5 * scale + 1e-9)
                    continue
                grams, litres = value(first[formula]["amount"], "g"), value(first[formula]["make"], "L")
                drawn = value(row["amount"], "L")
                must(on_marks(grams, scale) and grams >= 5 * scale - 1e-9, grams, "g on a scale of", scale)
                must(on_marks(drawn * 1000, syringe) and drawn * 1000 >= 5 * syringe - 1e-9, drawn, "L drawn")
                must(grams / litres <= 10 * DISSOLVES[formula], formula, "does not dissolve to", grams / litres, "g/L")
                near("in the draw", grams / litres * drawn, wanted, grams / litres * 0.5e-3 * syringe * (1 + 1e-9))
                must(first[formula]["tank"] == row["tank"], "the concentrate is of another tank")
        asked.append((question, check))
    return asked


LAWS = [of_an_injector, of_a_concentrate]
