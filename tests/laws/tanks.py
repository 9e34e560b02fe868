"""What is in a tank after its sheet was carried out row by row: corrections, top-ups, soaks, the next step of a trace.

EC times litres is conserved; a pair of slope k adds k mS/cm L for a millilitre of each. The exact amounts are carried
out, and `amount`, which has three figures, must never spill over the brim by more than its rounding."""
import math

from forward import must, near, poured, rows, value

GRID = 1000


class Tank:
    def __init__(self, litres, ec):
        self.litres, self.salts = litres, litres * ec

    @property
    def ec(self):
        return self.salts / self.litres if self.litres else 0.0

    def give(self, litres):
        must(litres <= self.litres + 1e-9, "more is taken out than is there")
        salts = litres * self.ec
        self.litres -= litres
        self.salts -= salts
        return salts

    def take(self, litres, salts):
        self.litres += litres
        self.salts += salts


def pair(k, top=None):
    parts = [{"name": n, "rate": "0-%g mL/L" % top} for n in "AB"] if top else []
    return {"together": {"parts": {"A": 1, "B": 1}, "ec": "%g mS/cm per mL/L" % k}, **({"part": parts} if parts else {})}


def carry_out(sheet, tank, water_ec, k, brim, other=None):
    """Every row in its order; what was drained."""
    drained = 0.0
    for row in sheet.get("rows", []):
        if row["do"] in ("drain", "move"):
            litres = value(row["exact"], "L")
            salts = tank.give(litres)
            if row["do"] == "move":
                other.take(litres, salts)
            else:
                drained += litres
        elif row["do"] == "water":
            litres = value(row["exact"], "L")
            (other if row.get("to") else tank).take(litres, litres * water_ec)
        elif row["do"] == "pour" and row["part"] == "A":
            tank.take(0, k * value(row["exact"], "mL"))
        must(tank.litres <= brim * (1 + 1e-9), "the tank spills: %g of %g L" % (tank.litres, brim))
    return drained


def fill_by_doses(sheet, tank, level, water_ec, brim):
    """The litres of the doses count as water, as they do among those of a water row. Where there is none they come in by
    themselves: up to the mark, and above it as far as the brim, which nobody tells to closer than 1 %."""
    doses = 2 * poured(sheet, "A")
    if any(not row.get("to") for row in rows(sheet, "water")):
        return
    missing = min(max(level - tank.litres, 0.0), doses)
    tank.take(missing, missing * water_ec)
    must(tank.litres + doses - missing <= brim * 1.01 + 1e-9, "the doses spill: %g L of them" % doses)


def base_after(now, remove, level, water_ec):
    """EC when `remove` was taken out and water brought the tank to its level; None where the level is passed."""
    left = now.litres - remove
    if left > level + 1e-9:
        return None
    return (left * now.ec + (level - left) * water_ec) / level


def miss_of(now, remove, level, water_ec, wanted, most, above=0.0, k=0.0):
    """`above`: L from the level to the brim, where doses of 2 mL for each k mS/cm L have room too."""
    base = base_after(now, remove, level, water_ec)
    if base is None:
        return math.inf
    if k:
        most = min(most, (level - now.litres + remove + above) / level * k / 0.002)
    return max(base - wanted, 0.0, wanted - base - most)


def compare_with_grid(sheet, now, drained, end, level, water_ec, wanted, most, above=0.0, k=0.0):
    """Nothing on a fine grid comes nearer, and nothing that wastes less comes as near."""
    miss = abs(end.ec - wanted)
    for i in range(GRID + 1):
        remove = now.litres * i / GRID
        other = miss_of(now, remove, level, water_ec, wanted, most, above, k)
        must(miss <= other + 1e-6, "removing %g L would come to %g from it, not %g" % (remove, other, miss))
        must(remove >= drained - 1e-6 or other > miss + 1e-9, "%g L were drained and %g would do" % (drained, remove))
    must((sheet["outcome"] == "met") == (miss < 1e-5), "outcome", sheet["outcome"], "misses by", miss)


def adjust(dice):
    """no tank spills, none is nearer to what was wanted on a fine grid, and none wastes less"""
    asked = []
    for _ in range(2000):
        holds = dice.between(5, 200, 1)
        volume, level = dice.between(0.1, holds), dice.choice([holds, dice.between(holds / 3, holds)])
        now, wanted, water = dice.between(0, 4), dice.between(0.2, 3.5), dice.between(0, 0.9)
        k, top = dice.between(0.1, 0.9), dice.choice([None, dice.between(0.5, 6)])
        question = {"job": "adjust", "holds": "%g L" % holds, "volume": "%g L" % volume, "level": "%g L" % level,
                    "ec-now": "%g mS/cm" % now, "ec": "%g mS/cm" % wanted, "water-ec": "%g mS/cm" % water,
                    **pair(k, top)}

        def check(sheet, holds=holds, volume=volume, level=level, now=now, wanted=wanted, water=water, k=k, top=top):
            tank = Tank(volume, now)
            drained = carry_out(sheet, tank, water, k, holds)
            fill_by_doses(sheet, tank, level, water, holds)
            near("level", tank.litres, level, 1e-3)
            compare_with_grid(sheet, Tank(volume, now), drained, tank, level, water, wanted,
                              k * top if top else math.inf, holds - level, k)
            tops = [r.get("label_used", 0) for r in rows(sheet, "pour")]
            must(max(tops, default=0) <= 1 + 1e-6, "a label top is passed:", tops)
        asked.append((question, check))
    return asked


def misses_level(sheet):
    return any(short["what"] == "level" for short in sheet.get("short", []))


def adjust_by_water(dice):
    """with nothing to dose, water alone comes as near as it can, or the sheet says what is needed"""
    asked = []
    for _ in range(1000):
        holds = dice.between(5, 200, 1)
        volume = dice.between(0.1, holds)
        now, wanted, water = dice.between(0, 4), dice.between(0.2, 3.5), dice.between(0, 0.9)
        question = {"job": "adjust", "holds": "%g L" % holds, "volume": "%g L" % volume, "ec-now": "%g mS/cm" % now,
                    "ec": "%g mS/cm" % wanted, "water-ec": "%g mS/cm" % water}

        def check(sheet, holds=holds, volume=volume, now=now, wanted=wanted, water=water):
            tank = Tank(volume, now)
            if sheet["outcome"] == "refused":
                filled = base_after(tank, 0, holds, water)
                must(filled < wanted and not sheet.get("rows"), "refused, and filled it reads", filled)
                must(not min(now, water) < wanted < max(now, water), "refused, and filled less it would do")
                return
            drained = carry_out(sheet, tank, water, 0, holds)
            if misses_level(sheet):
                near("EC", tank.ec, wanted, 1e-5)
                must(drained == 0 and tank.litres < holds, "not filled, and drained", drained)
                return
            near("level", tank.litres, holds, 1e-6)
            compare_with_grid(sheet, Tank(volume, now), drained, tank, holds, water, wanted, 0)
        asked.append((question, check))
    return asked


def adjust_keeping_all(dice):
    """where nothing may be removed nothing is, and plain top-ups take as many days as a tank followed day by day"""
    asked = []
    for _ in range(500):
        holds = dice.between(20, 200, 1)
        volume = dice.between(10, holds)
        now, wanted, water = dice.between(1.5, 4), dice.between(0.8, 1.4), dice.between(0, 0.3)
        uptake, uses = dice.between(0.6, 2), dice.between(0.5, 5)
        question = {"job": "adjust", "holds": "%g L" % holds, "volume": "%g L" % volume, "ec-now": "%g mS/cm" % now,
                    "ec": "%g mS/cm" % wanted, "water-ec": "%g mS/cm" % water, "drain": "no",
                    "uptake": "%g mS/cm" % uptake, "uses": "%g L/d" % uses}

        def check(sheet, holds=holds, volume=volume, now=now, wanted=wanted, water=water, uptake=uptake, uses=uses):
            tank = Tank(volume, now)
            if sheet["outcome"] == "refused":
                must(base_after(tank, 0, holds, water) < wanted, "refused for nothing")
                return
            drained = carry_out(sheet, tank, water, 0, holds)
            must(drained == 0, "something was drained")
            if sheet["outcome"] == "met" or misses_level(sheet):
                near("EC", tank.ec, wanted, 1e-5)
                return
            near("filled", tank.litres, holds, 1e-6)
            full = tank.ec
            days, steps = sheet["figures"]["days"]["value"], 1000
            for _ in range(steps):  # drunk and topped up, a thousandth of the time each
                drunk = uses * days / steps
                tank.take(-drunk, -drunk * uptake)
                tank.take(drunk, drunk * water)
            near("EC after those days", tank.ec, wanted, 1e-6)
            must(full > wanted, "days for nothing")
        asked.append((question, check))
    return asked


def days_of(sheet):
    """The rows of each day."""
    days = [[]]
    for row in sheet.get("rows", []):
        if row["do"] == "wait" and row["time"]["unit"] == "d":
            days.append([])
        else:
            days[-1].append(row)
    return days


def adjust_in_steps(dice):
    """a change that is split over days is never larger than a step on one of them, and neither tank spills"""
    asked = []
    for _ in range(1000):
        holds = dice.between(20, 200, 1)
        volume, level = dice.between(2, holds), dice.choice([holds, dice.between(holds / 3, holds)])
        now, wanted, water = dice.between(0.2, 4), dice.between(0.2, 3.5), dice.between(0, 1.5)
        k, step = dice.choice([0, dice.between(0.1, 0.9)]), dice.between(0.1, 1)
        brim = dice.between(5, 100)
        second = dice.between(0, brim)
        question = {"job": "adjust", "holds": "%g L" % holds, "volume": "%g L" % volume, "level": "%g L" % level,
                    "ec-now": "%g mS/cm" % now, "ec": "%g mS/cm" % wanted, "water-ec": "%g mS/cm" % water,
                    "step": "%g mS/cm" % step, **(pair(k) if k else {}),
                    "into": {"name": "Bed", "holds": "%g L" % brim, "volume": "%g L" % second,
                             "ec-now": "%g mS/cm" % dice.between(0, 2.5), "ec": "%g mS/cm" % dice.between(0.5, 3)}}

        def check(sheet, holds=holds, volume=volume, now=now, water=water, k=k, step=step, brim=brim, second=second):
            tank, other, before = Tank(volume, now), Tank(second, 1), now
            for rows_of_day in days_of(sheet):
                carry_out({"rows": rows_of_day}, tank, water, k, holds, other)
                must(abs(tank.ec - before) <= step + 2e-3, "EC goes from %g to %g in one step" % (before, tank.ec))
                must(other.litres <= brim + 1e-6, "the second tank spills")
                before = tank.ec
        asked.append((question, check))
    return asked


def adjust_into_another(dice):
    """what moves to a second tank never overfills it nor makes it too strong, and the rest of the removal is the same"""
    asked = []
    for _ in range(500):
        holds = dice.between(20, 200, 1)
        volume = dice.between(10, holds)
        now, wanted, water = dice.between(1.5, 4), dice.between(0.5, 1.4), dice.between(0, 0.4)
        brim = dice.between(5, 100)
        second, second_ec, second_wanted = dice.between(0, brim), dice.between(0, 2.5), dice.between(0.5, 3)
        question = {"job": "adjust", "holds": "%g L" % holds, "volume": "%g L" % volume, "ec-now": "%g mS/cm" % now,
                    "ec": "%g mS/cm" % wanted, "water-ec": "%g mS/cm" % water,
                    "into": {"name": "Bed", "holds": "%g L" % brim, "volume": "%g L" % second,
                             "ec-now": "%g mS/cm" % second_ec, "ec": "%g mS/cm" % second_wanted}}

        def check(sheet, holds=holds, volume=volume, now=now, wanted=wanted, water=water, brim=brim, second=second,
                  second_ec=second_ec, second_wanted=second_wanted):
            tank, other = Tank(volume, now), Tank(second, second_ec)
            if sheet["outcome"] == "refused":
                must(base_after(tank, 0, holds, water) < wanted, "refused for nothing")
                return
            drained = carry_out(sheet, tank, water, 0, holds, other)
            moved = sum(value(r["exact"], "L") for r in rows(sheet, "move"))
            near("EC", tank.ec, wanted, 1e-5)
            must(other.litres <= brim + 1e-6, "the second tank spills")
            must(moved == 0 or other.ec <= max(second_wanted, second_ec if now <= second_wanted else 0) + 1e-6,
                 "the second tank is too strong:", other.ec)
            needed = max(0.0, volume - holds * (wanted - water) / (now - water))  # the closed form, without a second
            near("removed", drained + moved, needed, 1e-6 * holds)
            could = brim - second  # of what brings it nearer; else until it reads what it wants, with water or without
            if now < second_wanted and now < second_ec and second > 0:
                could = min(could, max(0.0, second * (second_ec - second_wanted) / (second_wanted - now)))
            if now > second_wanted:
                could = min(could, max(0.0, (second_wanted * brim - second * second_ec - could * water) / (now - water)))
            near("moved", moved, min(needed, could), 1e-3)
        asked.append((question, check))
    return asked


def topup(dice):
    """a tank topped up by the sheet holds again what the plants took, and EC crosses its limit when a followed tank does"""
    asked = []
    for _ in range(1000):
        full = dice.between(20, 200)
        left, before = full * dice.between(0.4, 0.95), dice.between(0.8, 2.5)
        uptake, water, k = dice.between(0.3, 2.2), dice.between(0, 0.29), dice.between(0.2, 0.6)
        after = (full * before - (full - left) * uptake) / left
        if after < 0.4:
            continue
        hours, limit = dice.between(12, 200), after + dice.choice([-1, 1]) * dice.between(0.01, 0.35)
        question = {"job": "topup", "before": "%.9gL@%.9gmS/cm" % (full, before), "after": "%.9gL@%.9gmS/cm" % (left, after),
                    "hours": "%g" % hours, "limit": "%.9g mS/cm" % limit, "water-ec": "%g mS/cm" % water,
                    **pair(k)}

        def check(sheet, full=full, left=left, uptake=uptake, water=water, k=k, after=after, hours=hours, limit=limit):
            figures = sheet["figures"]
            near("uptake", figures["uptake"]["value"], uptake, 1e-5)
            tank = Tank(left, after)
            carry_out(sheet, tank, water, k, full)
            near("EC", tank.ec, (left * after + (full - left) * uptake) / full, 1e-5)
            tank, step, rate = Tank(left, after), 0.001 * hours, (full - left) / hours
            rising, passed = limit > after, None
            for i in range(1, 5000):  # drinks until it is nearly dry
                if tank.litres - rate * step < 0.01 * full:
                    break
                tank.take(-rate * step, -rate * step * uptake)
                if (tank.ec >= limit) == rising:
                    passed = i * step
                    break
            if passed is None:
                must(figures.get("crosses_in", {"value": math.inf})["value"] > (i - 1) * step, "crosses too early")
            else:
                near("hours", figures["crosses_in"]["value"], passed - step / 2, step)
        asked.append((question, check))
    return asked


def condition(dice):
    """a soak is enough for the pieces, no more than half a litre over, and reads what was wanted"""
    asked = []
    for _ in range(300):
        pieces, sides = dice.randint(1, 500), [dice.randint(10, 60) for _ in range(3)]
        ec, water, k = dice.between(0.4, 1.2), dice.between(0, 0.39), dice.between(0.2, 0.6)
        fills, extra = dice.randint(50, 100), dice.randint(0, 40)
        question = {"job": "condition", "pieces": str(pieces), "size": "%dx%dx%dmm" % tuple(sides), "fills": "%d %%" % fills,
                    "extra": "%d %%" % extra, "ec": "%g mS/cm" % ec, "water-ec": "%g mS/cm" % water, **pair(k)}

        def check(sheet, pieces=pieces, sides=sides, ec=ec, water=water, k=k, fills=fills, extra=extra):
            soak = math.prod(sides) * 1e-6 * pieces * fills / 100
            near("soak", sheet["figures"]["soak"]["value"], soak, 1e-6 * soak)
            made = value(sheet["volume"], "L")
            spare = made - soak * (1 + extra / 100)
            must(-1e-6 <= spare <= 0.5 + 1e-6, "%g L are made for %g" % (made, soak))
            near("EC", water + k * poured(sheet, "A", "mL") / made, ec, 1e-5)
        asked.append((question, check))
    return asked


def trace(dice):
    """half the gap is closed by the slope that was seen, or by swapping tank for water"""
    asked = []
    for _ in range(500):
        volume, water, k = dice.between(10, 300), dice.between(0, 0.6), dice.between(0.2, 0.6)
        dose = dice.between(1, 5)  # mL/L
        seen = k * dice.choice([dice.between(0.5, 0.95), dice.between(1.05, 1.6)])
        reads, expected = water + seen * dose, water + k * dose
        question = {"job": "trace", "volume": "%g L" % volume, "water-ec": "%g mS/cm" % water,
                    "poured": {"A": "%.9g mL" % (dose * volume), "B": "%.9g mL" % (dose * volume)},
                    "reads": "%.9g mS/cm" % reads, **pair(k)}

        def check(sheet, volume=volume, water=water, k=k, seen=seen, reads=reads, expected=expected):
            near("expected", sheet["figures"]["expected"]["value"], expected, 1e-6)
            if abs(reads - expected) < 0.015:
                must(sheet["verdict"] == "as expected" and not sheet.get("rows"), "something is poured for nothing")
                return
            near("slope", sheet["figures"]["slope"]["value"], seen, 1e-5)
            near("volume", sheet["figures"]["volume"]["value"], volume * k / seen, 1e-4 * volume)
            tank = Tank(volume, reads)
            carry_out(sheet, tank, water, seen, volume)
            near("EC", tank.ec, (reads + expected) / 2, 1e-5)
            near("reading", rows(sheet, "read")[-1]["expect"]["value"], tank.ec, 1e-5)
        asked.append((question, check))
    return asked


LAWS = [adjust, adjust_by_water, adjust_keeping_all, adjust_in_steps, adjust_into_another, topup, condition, trace]
