"""What an injector makes of stock tanks, and a shelf that is emptied day by day."""
import datetime

from forward import must, near, value

FROM = datetime.date(2026, 3, 2)
DAYS = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"]

# Salts, and what of them must not meet in a concentrate: calcium, or what it falls out with.
SALTS = {"Ca(NO3)2.4H2O": "calcium", "CaCl2.2H2O": "calcium", "KNO3": None, "KH2PO4": "sulfate or phosphate",
         "MgSO4.7H2O": "sulfate or phosphate", "K2SO4": "sulfate or phosphate", "NH4NO3": None}


def stock(dice):
    """a litre at the hose holds the rate of every salt, whichever tanks it is split over, and calcium stands apart"""
    asked = []
    for _ in range(1000):
        chosen = dice.sample(list(SALTS), dice.randint(1, 6))
        rates = {salt: dice.between(0.02, 1.2) for salt in chosen}
        n, make = dice.between(20, 300), dice.between(1, 100)
        both = {salt for salt in chosen if SALTS[salt] is None and dice.random() < 0.3}
        parts = [{"name": salt, "formula": salt, "rate": "%g g/L" % rate, **({"tank": "both"} if salt in both else {})}
                 for salt, rate in rates.items()]
        question = {"job": "stock", "ratio": "1 in %g" % n, "make": "%g L" % make, "part": parts}

        def check(sheet, rates=rates, n=n, make=make, both=both):
            tanks = {"A": {}, "B": {}}
            for row in sheet["rows"]:
                if row["do"] == "weigh":
                    tanks[row["tank"]][row["part"]] = value(row["exact"], "g")
                    near("strength", value(row["strength"], "g/L"), value(row["exact"], "g") / make, 1e-6 * rates[row["part"]] * n)
            for salt, rate in rates.items():  # 1/n L of each tank goes into a litre at the hose
                hose = sum(tank.get(salt, 0) / make / n for tank in tanks.values())
                near(salt, hose, rate, 1e-9 * rate)
            for salt in both:
                near("half of " + salt, tanks["A"].get(salt, 0), tanks["B"].get(salt, 0), 1e-6 * rates[salt] * n * make)
            for tank in tanks.values():
                must(len({SALTS[s] for s in tank} - {None}) <= 1, "calcium meets what it falls out with:", list(tank))
        asked.append((question, check))
    return asked


def draw_test(dice):
    """an injector that takes what it took gives what the sheet calls real"""
    asked = []
    for _ in range(300):
        n, percent, ppm, off = dice.between(20, 300), dice.between(5, 35), dice.between(30, 300), dice.between(0.5, 2)
        draw = dice.between(5, 50)
        drawn = draw / n * off
        question = {"job": "stock", "ratio": "1 in %g" % n, "make": "10 L", "targets": {"N": "%g mg/L" % ppm},
                    "draw": "%g L" % draw, "drawn": "%.9g mL" % (drawn * 1000),
                    "part": {"name": "Bag", "analysis": {"basis": "w/w", "N": "%g %%" % percent}}}

        def check(sheet, n=n, ppm=ppm, off=off, draw=draw, drawn=drawn):
            grams = next(value(r["exact"], "g") for r in sheet["rows"] if r["do"] == "weigh")
            nitrogen = grams / 10 * drawn / draw  # g/L of the bag at the hose, as it is drawn
            figures = sheet["figures"]
            near("real", figures["real"]["N"]["value"], ppm * off, 1e-4 * ppm)
            near("by what is drawn", nitrogen / (grams / 10 / n), off, 1e-6 * off)
            near("ratio", figures["ratio"]["value"], draw / drawn, 1e-6 * n)
            must(sheet["verdict"] == ("good" if abs(off - 1) <= 0.05 else "service") or abs(abs(off - 1) - 0.05) < 1e-6,
                 "verdict", sheet["verdict"])
        asked.append((question, check))
    return asked


def dissolving(dice):
    """the widest injector keeps every salt a fifth below its solubility, and the next one does not"""
    asked = []
    for _ in range(500):
        n, rate = dice.between(20, 300), dice.between(0.05, 2)
        cold, warm = dice.between(20, 200), dice.between(201, 400)
        celsius = dice.between(5, 20)
        question = {"job": "stock", "ratio": "1 in %g" % n, "coldest": "%g degC" % celsius,
                    "part": {"name": "Salt", "formula": "K2SO4", "rate": "%g g/L" % rate,
                             "solubility": {"5 degC": "%g g/L" % cold, "20 degC": "%g g/L" % warm}}}

        def check(sheet, n=n, rate=rate, cold=cold, warm=warm, celsius=celsius):
            allowed = 0.8 * (cold + (warm - cold) * (celsius - 5) / 15)
            widest = sheet["figures"]["widest"]["value"]
            must(rate * widest <= allowed * (1 + 1e-9), "1 in %g is too wide" % widest)
            must(rate * (widest + 1) > allowed * (1 - 1e-9), "1 in %g would do as well" % (widest + 1))
            must((sheet["outcome"] == "nearest") == (rate * n > allowed * (1 + 1e-9)), "outcome", sheet["outcome"])
        asked.append((question, check))
    return asked


def supplies(dice):
    """a shelf that is emptied job by job runs out on that day, by that much, and thinned jobs empty it exactly"""
    asked = []
    for _ in range(1000):
        days, left = dice.randint(3, 21), dice.between(50, 900)
        needs = [(dice.sample(DAYS, dice.randint(1, 3)), dice.between(20, 200)) for _ in range(dice.randint(1, 3))]
        pack, price, lead = dice.choice([250, 500, 1000]), dice.between(5, 60, 2), dice.randint(0, 6)
        question = {"job": "supplies", "from": str(FROM), "days": str(days), "currency": "EUR",
                    "supply": {"part": "A", "left": "%g mL" % left, "pack": "%g mL" % pack, "price": "%g" % price,
                               "lead": "%d d" % lead},
                    "needs": [{"on": on, "amounts": {"A": "%g mL" % amount}} for on, amount in needs]}

        def check(sheet, days=days, left=left, needs=needs, pack=pack, price=price, lead=lead):
            shelf, wanted, out, share = left, 0.0, None, None
            for day in range(days):
                date = FROM + datetime.timedelta(day)
                for on, amount in needs:
                    if DAYS[date.weekday()] not in on:
                        continue
                    wanted += amount
                    if out is None and shelf < amount - 1e-9:
                        out, share = date, shelf / amount
                    shelf = max(0.0, shelf - amount)
            found = sheet["supplies"][0]
            if not wanted:
                return
            near("needed", value(found["needed"], "mL"), wanted, 1e-6 * wanted)
            near("cost", found["cost"]["value"], wanted * price / pack, 1e-6 * wanted * price)
            if out is None:
                must("runs_out" not in found and sheet["outcome"] == "met", "it lasts, and the sheet says", found)
                return
            must(found["runs_out"] == str(out), "runs out on", found["runs_out"], "and not", out)
            near("share", found["share"]["value"], share, 1e-6)
            near("short", value(found["short"], "mL"), wanted - left, 1e-6 * wanted)
            near("thinned", found["even_share"]["value"] * wanted, left, 1e-6 * left)
            must(found["packs"]["value"] * pack >= wanted - left > (found["packs"]["value"] - 1) * pack,
                 found["packs"], "packs for", wanted - left)
            must(found["order_by"] <= str(out - datetime.timedelta(max(lead, 1))), "order by", found["order_by"])
        asked.append((question, check))
    return asked


LAWS = [stock, draw_test, dissolving, supplies]
