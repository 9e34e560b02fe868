"""What is poured from one liquid into water: dilutions, blends, acid, flushing."""
import math

from forward import must, near, poured, rows, value

N = 1000


def dilute_by_strength(dice):
    """what was poured is the substance that the wanted strength counts"""
    asked = []
    for _ in range(N):
        basis = dice.choice(["w/w", "w/v"])
        stock, density = dice.between(2, 70), dice.between(0.8, 1.8)
        in_a_litre = stock * 10 * (density if basis == "w/w" else 1)  # g
        wanted, make = dice.between(0.01, in_a_litre / 11, 4), dice.between(0.05, 80)
        how = dice.choice(["%w/v", "mg/L", "g/L"])
        to = {"%w/v": "%.9f %%w/v" % (wanted / 10), "mg/L": "%.6f mg/L" % (wanted * 1000), "g/L": "%.9f g/L" % wanted}
        question = {"job": "dilute", "stock": "%g %%%s" % (stock, basis), "density": "%g kg/L" % density,
                    "to": to[how], "make": "%g L" % make}

        def check(sheet, in_a_litre=in_a_litre, wanted=wanted, make=make):
            grams = poured(sheet, "concentrate") * in_a_litre
            filled = value(rows(sheet, "top")[0]["amount"], "L")
            near("volume", filled, make, 1e-9 * make)
            near("g/L", grams / filled, wanted, 1e-6 * wanted)
        asked.append((question, check))
    return asked


def dilute_by_ratio(dice):
    """1 in n is a share of the whole, 1 plus n of the water"""
    asked = []
    for _ in range(N):
        n, make, how = dice.between(1.5, 500), dice.between(0.05, 80), dice.choice(["in", "plus"])
        question = {"job": "dilute", "to": "1 %s %g" % (how, n), "make": "%g L" % make}

        def check(sheet, n=n, make=make, how=how):
            took = poured(sheet, "concentrate")
            near("parts", make / took if how == "in" else (make - took) / took, n, 1e-9 * n)
        asked.append((question, check))
    return asked


def dilute_on_marks(dice):
    """the strength that a sheet states is that of what the syringe measures, and it is no weaker than a mark allows"""
    asked = []
    for _ in range(N):
        stock, wanted, make = dice.between(1, 20), dice.between(0.002, 0.5, 4), dice.between(0.05, 2)
        marks, holds = dice.choice([(0.02, 1), (0.1, 3), (0.5, 10), (1, 60)])
        question = {"job": "dilute", "stock": "%g %%w/v" % stock, "to": "%g %%w/v" % wanted, "make": "%g L" % make,
                    "bench": {"name": "syringe", "holds": "%g mL" % holds, "marks": "%g mL" % marks}}

        def check(sheet, stock=stock, wanted=wanted, make=make, marks=marks):
            if sheet["outcome"] == "refused":
                must(stock and "make at least" in sheet["short"][0]["because"], "refused without a way out")
                must(abs(marks / 2 / (wanted / stock * make * 1000)) > 0.05, "refused what a mark allows")
                return
            share = 1.0  # of the product in what is drawn
            took = 0.0   # mL of product
            for row in rows(sheet, "predilute", "pour"):
                amount = value(row["amount"], "mL")
                if row["do"] == "predilute":
                    share *= amount / value(row["make"], "mL")
                else:
                    near("marks of the draw", amount / marks, round(amount / marks), 1e-6)
                    took += amount * share
            reached = took / 1000 / make * stock
            near("stated strength", sheet["figures"]["strength"]["value"], reached, 1e-6 * reached)
            near("strength", reached, wanted, 0.11 * wanted)  # half a mark of five
        asked.append((question, check))
    return asked


def blend(dice):
    """two waters poured together have what was wanted, or are the nearer one alone"""
    asked = []
    for _ in range(N):
        what = dice.choice(["ec", "alkalinity", "hardness"])
        first, second, wanted = (dice.between(0.01, 3 if what == "ec" else 400) for _ in range(3))
        unit = "mS/cm" if what == "ec" else "mg/L CaCO3"
        make = dice.between(1, 500)
        text = "%g " + unit
        question = {"job": "blend", "first": {what: text % first}, "second": {what: text % second},
                    "to": text % wanted if what == "ec" and dice.random() < 0.5 else {what: text % wanted},
                    "make": "%g L" % make}

        def check(sheet, what=what, first=first, second=second, wanted=wanted, make=make):
            litres = {"first": 0.0, "second": 0.0}
            for row in rows(sheet, "water"):
                litres[row["water"]] += value(row["exact"], "L")
            near("litres", sum(litres.values()), make, 1e-9 * make)
            has = (litres["first"] * first + litres["second"] * second) / make
            nearest = min(max(wanted, min(first, second)), max(first, second))
            near(what, has, nearest, 1e-6 * nearest)
            must((sheet["outcome"] == "met") == (nearest == wanted), "outcome", sheet["outcome"])
            near("figure", sheet["figures"][what]["value"], has, 1e-6 * has)
        asked.append((question, check))
    return asked


# g/mol, protons in growers' tables, g of the element that a mole holds: weights of CIAAW 2021
ACIDS = {"nitric": (63.012, 1, "N", 14.007), "phosphoric": (97.994, 1, "P", 30.974), "sulfuric": (98.072, 2, "S", 32.06)}


def acid(dice):
    """what was poured leaves the alkalinity that is wanted, and brings what the sheet says"""
    asked = []
    for _ in range(N):
        name = dice.choice(list(ACIDS))
        molar, protons, element, weight = ACIDS[name]
        percent, density = dice.between(5, 95), dice.between(1.02, 1.84)
        now, to, volume = dice.between(20, 400), dice.between(0, 150), dice.between(1, 1000)
        question = {"job": "acid", "volume": "%g L" % volume, "alkalinity": "%g mg/L CaCO3" % now,
                    "to": "%g mg/L CaCO3" % to,
                    "acid": {"name": name, "strength": "%g %% w/w" % percent, "density": "%g kg/L" % density}}

        def check(sheet, name=name, molar=molar, protons=protons, element=element, weight=weight, percent=percent,
                  density=density, now=now, to=to, volume=volume):
            litres = poured(sheet, name)
            moles = litres * density * 1000 * percent / 100 / molar
            left = now - moles * protons / volume * 100.086 / 2 * 1000  # mg/L: CaCO3 is 100.086 g/mol, two charges
            near("alkalinity left", left, min(to, now), 0.01)
            near("acid", sheet["figures"]["acid"]["value"], litres * 1000, 1e-6 * litres * 1000)
            if litres:
                near("first pour", value(rows(sheet, "pour")[0]["exact"], "L"), 0.8 * litres, 1e-6 * litres)
                near(element, sheet["figures"][element]["value"], moles * weight / volume * 1000, 0.01)
        asked.append((question, check))
    return asked


def jar(dice):
    """a tank takes what its sample took, for as much more water"""
    asked = []
    for _ in range(200):
        sample, acid_ml, parts, volume = (dice.between(0.2, 5), dice.between(0.1, 9), dice.between(1, 50),
                                          dice.between(1, 900))
        question = {"job": "acid", "volume": "%g L" % volume,
                    "jar": {"volume": "%g L" % sample, "acid": "%g mL" % acid_ml, "diluted": "1 in %g" % parts,
                            "from": "7.0", "to": "5.9"}}

        def check(sheet, sample=sample, acid_ml=acid_ml, parts=parts, volume=volume):
            near("mL in a litre", poured(sheet, "acid", "mL") / volume, acid_ml / parts / sample, 1e-6 * acid_ml)
        asked.append((question, check))
    return asked


def flush(dice):
    """a medium that is rinsed drop by drop, well mixed, drains at the wanted EC after that volume"""
    asked = []
    for _ in range(200):
        medium, now = dice.between(1, 100), dice.between(1.5, 6)
        feed = dice.between(0, 1)
        to = dice.between(feed + 0.1, now - 0.1)
        question = {"job": "flush", "medium": "%g L" % medium, "ec-now": "%g mS/cm" % now, "feed-ec": "%g mS/cm" % feed,
                    "to": "%g mS/cm" % to}

        def check(sheet, medium=medium, now=now, feed=feed, to=to):
            litres = poured(sheet, "flush solution")
            drops, ec = 20000, now
            for _ in range(drops):  # the midpoint rule: each drop pushes out what stands there
                half = ec + (feed - ec) * litres / drops / medium / 2
                ec += (feed - half) * litres / drops / medium
            near("drain", ec, to, 1e-4)
            expected = [r["expect"]["value"] for r in rows(sheet, "read")]
            must(expected == sorted(expected, reverse=True), "the readings do not fall:", expected)
            near("last reading", expected[-1], to, 1e-6)
            must(math.isclose(litres, sheet["figures"]["volume"]["value"], rel_tol=1e-9), "volume of the figures")
        asked.append((question, check))
    return asked


LAWS = [dilute_by_strength, dilute_by_ratio, dilute_on_marks, blend, acid, jar, flush]
