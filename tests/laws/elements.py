"""Each element of a tank, added up again from what its sheet pours.

A litre of the finished tank holds of an element the sum over sources of grams of the source times its share of that
element, over the litres. The shares are worked out here: of a salt from the atoms in it and their weights (CIAAW 2021,
abridged), of a label and of a water's report as they were asked, of acid from its equivalents. Nothing of it comes from
the sheet but the exact amounts that it pours, and the water that fills the rest."""
from forward import must, near, rows, value

WEIGHT = {"H": 1.008, "C": 12.011, "N": 14.007, "O": 15.999, "Mg": 24.305, "P": 30.974, "S": 32.06, "K": 39.098,
          "Ca": 40.078, "Na": 22.990, "Cl": 35.45}
# What one molecule holds, and its nutrients with the form of their nitrogen.
SALTS = {
    "KNO3": ({"K": 1, "N": 1, "O": 3}, {"K": 1, "NO3-N": 1}),
    "KH2PO4": ({"K": 1, "H": 2, "P": 1, "O": 4}, {"K": 1, "P": 1}),
    "K2SO4": ({"K": 2, "S": 1, "O": 4}, {"K": 2, "S": 1}),
    "MgSO4.7H2O": ({"Mg": 1, "S": 1, "O": 11, "H": 14}, {"Mg": 1, "S": 1}),
    "Mg(NO3)2.6H2O": ({"Mg": 1, "N": 2, "O": 12, "H": 12}, {"Mg": 1, "NO3-N": 2}),
    "NH4NO3": ({"N": 2, "H": 4, "O": 3}, {"NO3-N": 1, "NH4-N": 1}),
    "NH4H2PO4": ({"N": 1, "H": 6, "P": 1, "O": 4}, {"NH4-N": 1, "P": 1}),
    "CO(NH2)2": ({"C": 1, "O": 1, "N": 2, "H": 4}, {"urea-N": 2}),
    "Ca(NO3)2.4H2O": ({"Ca": 1, "N": 2, "O": 10, "H": 8}, {"Ca": 1, "NO3-N": 2}),
    "NaCl": ({"Na": 1, "Cl": 1}, {"Na": 1, "Cl": 1}),
}
FORMS = ("NO3-N", "NH4-N", "urea-N")
ACIDS = {"nitric": ("67 %w/w", 0.67, 1.40, 63.012, 1, "NO3-N"), "phosphoric": ("75 %w/w", 0.75, 1.579, 97.994, 1, "P"),
         "sulfuric": ("35 %w/w", 0.35, 1.26, 98.072, 2, "S")}
CARBONATE = 50.0435  # mg CaCO3 in 1 meq


def element(nutrient):
    return "N" if nutrient in FORMS else nutrient


def shares(formula):
    """g of each nutrient in a gram of the salt."""
    atoms, holds = SALTS[formula]
    whole = sum(WEIGHT[atom] * count for atom, count in atoms.items())
    return {nutrient: WEIGHT[element(nutrient)] * count / whole for nutrient, count in holds.items()}


def with_total(holds):
    """The nutrients, and all nitrogen as N."""
    nitrogen = sum(holds.get(form, 0) for form in FORMS)
    return {**holds, **({"N": nitrogen} if nitrogen else {})}


def random_parts(dice):
    """Parts as they are asked, and g of each nutrient in a gram of them."""
    parts, holds = [], {}
    for formula in dice.sample(sorted(SALTS), dice.randint(1, 5)):
        parts.append({"name": "salt " + formula, "formula": formula, "rate": "%g g/L" % dice.between(0.05, 1.2)})
        holds["salt " + formula] = shares(formula)
    if dice.random() < 0.5:
        label = {"NO3-N": dice.between(1, 12, 1), "NH4-N": dice.between(1, 5, 1), "urea-N": dice.between(0.5, 5, 1),
                 "K": dice.between(1, 20, 1), "Mg": dice.between(0.5, 4, 1), "Fe": dice.between(0.01, 0.2, 2)}
        parts.append({"name": "Bag", "rate": "%g g/L" % dice.between(0.1, 1),
                      "analysis": {"basis": "w/w", "as": "element", **{k: "%g %%" % v for k, v in label.items()}}})
        holds["Bag"] = {k: v / 100 for k, v in label.items()}
    return parts, holds


def report(dice, names):
    """mg/L of some of the elements, as a laboratory reports them."""
    return {name: dice.between(1, 90, 1) for name in dice.sample(names, dice.randint(2, len(names)))}


def in_mg(analysis):
    return {k: "%g mg/L" % v for k, v in analysis.items()}


def add(sum_of, source, holds, times):
    for nutrient, amount in with_total(holds).items():
        if amount * times > 0:
            found = sum_of.setdefault(nutrient, {})
            found[source] = found.get(source, 0) + amount * times


def poured_forward(sheet, litres, heel, tap, heel_holds, holds, acid):
    """mg/L of each nutrient by its source."""
    whole, fresh = {}, (litres - heel) / litres
    add(whole, ("water", "tap"), tap, fresh)
    add(whole, ("heel", "old solution"), heel_holds, heel / litres)
    for row in rows(sheet, "weigh", "pour"):
        if acid and row["part"] == acid:
            _, share, density, molar, protons, brings = ACIDS[acid]
            grams = value(row["exact"], "mL") * density * share
            mass = {"NO3-N": 14.007, "P": 30.974, "S": 32.06}[brings]
            add(whole, ("acid", acid), {brings: 1}, grams / molar * mass * 1000 / litres)
        else:
            add(whole, ("part", row["part"]), holds[row["part"]], value(row["exact"], "g") * 1000 / litres)
    return whole


def compare(sheet, whole, wanted):
    told = {record["element"]: record for record in sheet["elements"]}
    must(set(told) == set(whole) | set(wanted), "elements", sorted(told), "not", sorted(set(whole) | set(wanted)))
    for nutrient, record in told.items():
        sources = whole.get(nutrient, {})
        sum_of = sum(sources.values())
        near("got of " + nutrient, value(record["got"], "mg/L"), sum_of, 2e-4 * sum_of)
        found = {next((k, v) for k, v in one.items() if k != "amount"): value(one["amount"], "mg/L")
                 for one in record.get("from", [])}
        must(set(found) == set(sources), nutrient, "is from", sorted(found), "not", sorted(sources))
        for source, amount in sources.items():
            near("%s from %s" % (nutrient, source), found[source], amount, 2e-4 * amount)
        near("the sources of " + nutrient, sum(found.values()), value(record["got"], "mg/L"), 1e-9 * (1 + sum_of))
        must(("wanted" in record) == (nutrient in wanted), nutrient, "wanted")
        if nutrient in wanted:
            near("wanted " + nutrient, value(record["wanted"], "mg/L"), wanted[nutrient], 1e-9 * wanted[nutrient])


def of_a_tank(dice):
    """the elements of a tank are the sum of its water, old solution, acid and parts"""
    asked = []
    for i in range(1500):
        litres = dice.between(5, 300, 1)
        heel = dice.between(0.5, litres * 0.8, 1) if dice.random() < 0.4 else 0
        parts, holds = random_parts(dice)
        tap, old = report(dice, ["Ca", "Mg", "Na", "Cl", "K", "S"]), report(dice, ["NO3-N", "NH4-N", "K", "Ca", "P", "S"])
        water = {"name": "tap", "ec": "0.5 mS/cm", "analysis": in_mg(tap)}
        question = {"job": "mix", "volume": "%g L" % litres, "part": parts}
        acid = dice.choice(sorted(ACIDS)) if dice.random() < 0.5 else None
        if acid:
            water["alkalinity"] = "%g mg/L CaCO3" % dice.between(100, 300, 1)
            strength, _, density, _, _, _ = ACIDS[acid]
            question.update({"acid": [{"name": acid, "strength": strength, "density": "%g kg/L" % density}],
                             "alkalinity": "%g mg/L CaCO3" % dice.between(10, 80, 1)})
        if heel:
            question.update({"heel": "%g L" % heel, "heel-ec": "1.5 mS/cm", "heel-analysis": in_mg(old)})
        wanted = {}
        if i % 2:
            wanted = {n: dice.between(20, 200, 1) for n in dice.sample(["N", "K", "Ca", "P", "NO3-N"], 3)}
            question["targets"] = in_mg(wanted)
        question["water"] = [water]

        def check(sheet, litres=litres, heel=heel, tap=tap, old=old, holds=holds, acid=acid, wanted=wanted):
            whole = poured_forward(sheet, litres, heel, tap, old, holds, acid)
            compare(sheet, whole, wanted)
        asked.append((question, check))
    return asked


LAWS = [of_a_tank]
