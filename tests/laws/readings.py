"""What meters show of a true EC, and what the program makes of it: scales, temperature, standards, slopes and slips."""
from forward import must, near

SCALES = {"EC": 1, "CF": 10, "ppm-500": 500, "ppm-640": 640, "ppm-700": 700}


def meter(dice):
    """the true EC comes back from what a meter of any scale, cold or out in its standard, shows of it"""
    asked = []
    for _ in range(2000):
        true, celsius, coefficient = dice.between(0.1, 5), dice.between(5, 35), dice.between(0.015, 0.025)
        out, scale = dice.between(0.87, 1.14), dice.choice(list(SCALES))
        cold, checked = dice.random() < 0.5, dice.random() < 0.5
        shown = true * (1 + coefficient * (celsius - 25) if cold else 1) / (out if checked else 1)
        question = {"job": "meter", "reads": "%.9g" % (shown * SCALES[scale]), "scale": scale}
        if cold:
            question.update({"temperature": "%g degC" % celsius, "compensated": "no",
                             "coefficient": "%g %%/degC" % (coefficient * 100)})
        if checked:
            question.update({"standard": "1413 uS/cm", "standard-reads": "%.9g" % (1.413 / out * SCALES[scale])})

        def check(sheet, true=true, scale=scale):
            figures = sheet["figures"]
            near("EC", figures["ec"]["value"], true, 1e-6 * true)
            for name in ("ppm-500", "ppm-640", "ppm-700"):
                near(name, figures[name]["value"], true * SCALES[name], 1e-6 * true * SCALES[name])
            must(figures["scale"] == scale, "the scale is", figures["scale"])
        asked.append((question, check))
    return asked


def find_the_scale(dice):
    """a pen that is no more than 6 % out gives its scale away in a standard"""
    asked = []
    for _ in range(300):
        scale, standard, out = dice.choice([500, 640, 700]), dice.choice([1.413, 2.764]), dice.between(0.96, 1.04)
        question = {"job": "meter", "reads": "800 ppm", "standard": "%g mS/cm" % standard,
                    "standard-reads": "%.6g ppm" % (standard * scale / out)}

        def check(sheet, scale=scale, out=out):
            must(sheet["figures"]["scale"] == "ppm-%d" % scale, "the scale is", sheet["figures"]["scale"])
            near("EC", sheet["figures"]["ec"]["value"], 800 / scale * out, 1e-4)
        asked.append((question, check))
    return asked


def learn(dice):
    """a tank's volume, and a part's slope, come back from the readings that they make"""
    asked = []
    for _ in range(500):
        volume, k, before = dice.between(5, 400), dice.between(0.1, 0.8), dice.between(0.1, 2)
        dose = dice.between(0.3, 3)  # mL/L of each
        question = {"job": "learn", "before": "%g mS/cm" % before, "after": "%.9g mS/cm" % (before + k * dose),
                    "poured": {"A": "%.9g mL" % (dose * volume), "B": "%.9g mL" % (dose * volume)}}
        known = dice.random() < 0.5
        if known:
            question["volume"] = "%g L" % volume
        question["together"] = {"parts": {"A": 1, "B": 1}, **({} if known else {"ec": "%g mS/cm per mL/L" % k})}

        def check(sheet, known=known, volume=volume, k=k, dose=dose):
            figure = sheet["figures"]["slope" if known else "volume"]
            want = k if known else volume
            near("learned", figure["value"], want, 1e-5 * want)
            near("doubt", figure["within"], want * 0.03 / (k * dose), 1e-4 * want)
        asked.append((question, check))
    return asked


# What each slip does to what the doses add, and words of the cause that must then be among the first. A pair of A and B,
# of which one is left out or doubled, is sized by halves.
SLIPS = [
    (1 / 1.2009499, "imperial"), (1.2009499, "imperial"), (1 / 3, "teaspoon"), (3, "tablespoon"),
    (0, "nothing was poured"), (2, "poured twice"), (0.5, "left out"), (1.5, "poured twice"),
]


def slips(dice):
    """the slip that was made is among the likeliest causes, and says what it would read"""
    asked = []
    for _ in range(400):
        factor, words = dice.choice(SLIPS)
        volume, water, dose = dice.between(10, 200), dice.between(0.05, 0.5), dice.between(2, 5)
        added = 0.4 * dose
        reads = water + added * factor + dice.gauss(0, 0.01)
        question = {"job": "trace", "volume": "%g L" % volume, "water-ec": "%g mS/cm" % water, "compensated": "yes",
                    "poured": {"A": "%.9g mL" % (dose * volume), "B": "%.9g mL" % (dose * volume)},
                    "reads": "%.6g mS/cm" % max(reads, 0.01),
                    "part": [{"name": "A", "ec": "0.2 mS/cm per mL/L"}, {"name": "B", "ec": "0.2 mS/cm per mL/L"}]}

        def check(sheet, words=words, factor=factor, reads=reads):
            causes = [c["because"] for c in sheet["causes"]]
            must(any(words in c for c in causes[:3]), "the first causes of a factor of %g:" % factor, causes[:4])
            said = next(c for c in sheet["causes"] if words in c["because"])
            near("what it would read", said["reads"]["value"], reads, 0.05)
            must(said["decides"], "nothing would decide it")
        asked.append((question, check))
    return asked


def scale_slips(dice):
    """a reading taken on the wrong ppm scale, or in cold water, is told as that"""
    asked = []
    for _ in range(300):
        water, dose, volume = dice.between(0.05, 0.5), dice.between(2, 5), dice.between(10, 200)
        true = water + 0.4 * dose
        factor, words = dice.choice([(1.4, "ppm-700 and was read as ppm-500"), (1 / 1.4, "ppm-500 and was read as ppm-700"),
                                     (None, "cold")])
        celsius = dice.between(8, 18)
        reads = true * (factor or 1 + 0.02 * (celsius - 25)) + dice.gauss(0, 0.01)
        question = {"job": "trace", "volume": "%g L" % volume, "water-ec": "%g mS/cm" % water,
                    "poured": {"Feed": "%.9g mL" % (dose * volume)}, "reads": "%.6g mS/cm" % reads,
                    "part": {"name": "Feed", "ec": "0.4 mS/cm per mL/L"}}
        question.update({"compensated": "yes"} if factor else {"temperature": "%g degC" % celsius})

        def check(sheet, words=words):
            causes = [c["because"] for c in sheet["causes"]]
            must(any(words in c for c in causes[:4]), "the first causes:", causes[:4])
        asked.append((question, check))
    return asked


LAWS = [meter, find_the_scale, learn, slips, scale_slips]
