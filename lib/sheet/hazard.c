/* Texts are those of the UN GHS, revision 11, annex 3, as listed in a public validation module of GHS statements (US
 * spelling); EUH texts are those of CLP annex II. Limits are shares of mass.
 *
 * "CLP annex VI" names the harmonised entry of Regulation (EC) 1272/2008; where a source says from memory, nobody has
 * read it beside this table. A supplier's safety data sheet outranks every line here, and each sheet says so. Example:
 * a peroxide of 6 % carries H319, of 10 % H272 and H318, of 35 % H272, H302, H315, H318 and H335. */
#include "sheet/hazard.h"

#include <math.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

static const struct {
    const char *code, *text;
} statements[] = {
    { "H225", "Highly flammable liquid and vapor" },
    { "H226", "Flammable liquid and vapor" },
    { "H271", "May cause fire or explosion; strong oxidizer" },
    { "H272", "May intensify fire; oxidizer" },
    { "H290", "May be corrosive to metals" },
    { "H301", "Toxic if swallowed" },
    { "H302", "Harmful if swallowed" },
    { "H314", "Causes severe skin burns and eye damage" },
    { "H315", "Causes skin irritation" },
    { "H317", "May cause an allergic skin reaction" },
    { "H318", "Causes serious eye damage" },
    { "H319", "Causes serious eye irritation" },
    { "H331", "Toxic if inhaled" },
    { "H332", "Harmful if inhaled" },
    { "H335", "May cause respiratory irritation" },
    { "H336", "May cause drowsiness or dizziness" },
    { "H360", "May damage fertility or the unborn child" },
    { "H360FD", "May damage fertility. May damage the unborn child." }, /* CLP annex III, from memory */
    { "H373", "May cause damage to organs through prolonged or repeated exposure" },
    { "H400", "Very toxic to aquatic life" },
    { "H410", "Very toxic to aquatic life with long lasting effects" },
    { "H411", "Toxic to aquatic life with long lasting effects" },
    { "H412", "Harmful to aquatic life with long lasting effects" },
    { "EUH031", "Contact with acids liberates toxic gas" },
    { "EUH071", "Corrosive to the respiratory tract" },
    { "EUH206", "Warning! Do not use together with other products. May release dangerous gases (chlorine)." },
};

#define ANNEX_VI "CLP annex VI, from memory"
#define SUPPLIER "usual supplier labels, from memory"
#define GENERIC "CLP annex VI and its generic limits, from memory"
#define HORMONE "laboratory suppliers' labels, which differ; from memory, low confidence"

#define NEVER_BLEACH "Never near hypochlorite (bleach): the two give chlorine gas."
#define HORMONE_PRACTICE "Take out what the day needs; never pour what was used back into the stock bottle."

static const aq_substance substances[] = {
    { "hydrogen peroxide",
      "peroxide; H2O2",
      "H2O2",
      AQ_PEROXIDE,
      { { 0.05, "H319" },
        { 0.08, "H272 H318" },
        { 0.25, "H272 H302 H318" },
        { 0.35, "H272 H302 H315 H318 H335" },
        { 0.50, "H272 H302 H314 H335" },
        { 0.70, "H271 H302 H314 H335" } },
      "Pour peroxide into water. Clean plastic and a vented cap; no metal, no leftovers, no vinegar, acid, "
      "alcohol or "
      "hypochlorite.",
      "specific limits of the harmonised entry (ECHA registry of intentions, hydrogen peroxide, proposal of "
      "2024); 8 to "
      "35 %: GisChem, Wasserstoffperoxid-Loesung; H272 from 35 % as suppliers label" },
    { "isopropyl alcohol",
      "isopropanol; 2-propanol; rubbing alcohol; IPA",
      NULL,
      AQ_ALCOHOL,
      { { 0.10, "H319" }, { 0.20, "H226 H319 H336" }, { 0.50, "H225 H319 H336" } },
      "No flame, spark or hot blade near; air the room; never with hypochlorite.",
      "H319 from 10 %, H336 from 20 % by generic limits; 70 % still flashes near 18 degC; H226 below 50 "
      "%: " ANNEX_VI },
    { "ethanol",
      "alcohol; ethyl alcohol; denatured alcohol; methylated spirit",
      NULL,
      AQ_ALCOHOL,
      { { 0.20, "H226" }, { 0.50, "H225 H319" } },
      "No flame, spark or hot blade near; air the room; never with hypochlorite.",
      "H319 from 50 % is the usual supplier limit; H226 below 50 %: " ANNEX_VI },
    { "sodium hypochlorite",
      "hypochlorite; bleach; household bleach; chlorine bleach; NaOCl; NaClO",
      "NaOCl",
      AQ_HYPOCHLORITE,
      { { 0.01, "H315 H319 EUH206" },
        { 0.03, "H315 H318 H400 H411" },
        { 0.05, "H314 H318 H400 H410 EUH031" } },
      "Make it fresh: it has lost half its strength in about 2 h. Nothing else into this vessel until it is "
      "rinsed.",
      "5 %: " GENERIC
      ", and EUH031 as the regulation's own example; half-life: University of Georgia AGED list, 2011" },
    { "calcium hypochlorite",
      "pool chlorine",
      "Ca(OCl)2",
      AQ_HYPOCHLORITE,
      { { 0.39, "H272 H302 H314 H400 EUH031" } },
      "Nothing else into this vessel until it is rinsed.",
      ANNEX_VI },
    { "nitric acid",
      "nitric; HNO3",
      "HNO3",
      AQ_ACID,
      { { 0.01, "H315 H319" },
        { 0.05, "H314" },
        { 0.20, "H314 H331 EUH071" },
        { 0.65, "H272 H314 H331 EUH071" } },
      NEVER_BLEACH,
      ANNEX_VI },
    { "phosphoric acid",
      "phosphoric; orthophosphoric acid; H3PO4",
      "H3PO4",
      AQ_ACID | AQ_PHOSPHATE,
      { { 0.10, "H315 H319" }, { 0.25, "H290 H314" } },
      NEVER_BLEACH,
      "limits of 10 and 25 % read in an older list of the same entry; codes: " ANNEX_VI },
    { "sulfuric acid",
      "sulphuric acid; sulfuric; sulphuric; battery acid; H2SO4",
      "H2SO4",
      AQ_ACID | AQ_SULFATE,
      { { 0.05, "H315 H319" }, { 0.15, "H290 H314" } },
      NEVER_BLEACH,
      ANNEX_VI },
    { "hydrochloric acid",
      "muriatic acid; hydrochloric; HCl",
      "HCl",
      AQ_ACID,
      { { 0.10, "H315 H319 H335" }, { 0.25, "H290 H314 H335" } },
      NEVER_BLEACH,
      ANNEX_VI },
    { "acetic acid",
      "acetic; vinegar",
      "CH3COOH",
      AQ_ACID | AQ_ACETIC,
      { { 0.10, "H315 H319" }, { 0.25, "H314" }, { 0.90, "H226 H314" } },
      NEVER_BLEACH,
      ANNEX_VI },
    { "citric acid",
      "citric; C6H8O7",
      "C6H8O7",
      AQ_ACID,
      { { 0.10, "H319 H335" } },
      NEVER_BLEACH,
      "solid, or from 10 %: " ANNEX_VI },
    { "pH down",
      "acid; ph-down; pH minus",
      NULL,
      AQ_ACID,
      { { 0 } },
      NEVER_BLEACH,
      "an acid that does not say which: its label has the codes" },
    { "potassium hydroxide",
      "caustic potash; KOH",
      "KOH",
      AQ_BASE,
      { { 0.005, "H315 H319" }, { 0.02, "H290 H314" }, { 0.05, "H290 H302 H314" } },
      "Into water, a little at a time: it heats. Never onto acid or aluminium.",
      ANNEX_VI },
    { "sodium hydroxide",
      "caustic soda; lye; NaOH",
      "NaOH",
      AQ_BASE,
      { { 0.005, "H315 H319" }, { 0.02, "H290 H314" } },
      "Into water, a little at a time: it heats. Never onto acid or aluminium.",
      ANNEX_VI },
    { "ammonia",
      "ammonium hydroxide; ammonia solution; NH4OH",
      "NH4OH",
      AQ_BASE | AQ_AMMONIUM,
      { { 0.05, "H314 H335" }, { 0.25, "H314 H335 H400" } },
      NULL,
      ANNEX_VI },
    { "potassium silicate",
      "silicate; K2SiO3",
      "K2SiO3",
      AQ_BASE,
      { { 0.10, "H315 H319" } },
      NULL,
      "molar ratio above 3.2; a lower one may be H314 or H318: " SUPPLIER },
    { "calcium nitrate",
      "nitrate of lime",
      "Ca(NO3)2",
      AQ_CALCIUM,
      { { 0.01, "H319" }, { 0.03, "H318" }, { 0.25, "H302 H318" } },
      NULL,
      "tetrahydrate and fertiliser grade: " ANNEX_VI "; weaker solutions by generic limits" },
    { "calcium chloride", "CaCl2", "CaCl2", AQ_CALCIUM, { { 0.10, "H319" } }, NULL, ANNEX_VI },
    { "potassium nitrate", "saltpetre; KNO3", "KNO3", 0, { { 0.90, "H272" } }, NULL, "solid: " SUPPLIER },
    { "ammonium nitrate",
      "NH4NO3",
      "NH4NO3",
      AQ_AMMONIUM,
      { { 0.10, "H319" }, { 0.80, "H272 H319" } },
      NULL,
      "solid: " ANNEX_VI "; controlled in many countries" },
    { "ammonium sulfate",
      "ammonium sulphate; (NH4)2SO4",
      "(NH4)2SO4",
      AQ_AMMONIUM | AQ_SULFATE,
      { { 0 } },
      NULL,
      "not classified, from memory" },
    { "ammonium phosphate",
      "MAP; DAP; monoammonium phosphate; diammonium phosphate",
      "NH4H2PO4",
      AQ_AMMONIUM | AQ_PHOSPHATE,
      { { 0 } },
      NULL,
      "not classified, from memory" },
    { "urea",
      "carbamide; CO(NH2)2",
      "CO(NH2)2",
      AQ_AMMONIUM,
      { { 0 } },
      NULL,
      "not classified; with hypochlorite it gives chloramines as ammonium does: from memory" },
    { "potassium phosphate",
      "MKP; monopotassium phosphate; potassium dihydrogen phosphate; KH2PO4",
      "KH2PO4",
      AQ_PHOSPHATE,
      { { 0 } },
      NULL,
      "not classified, from memory" },
    { "potassium sulfate",
      "potassium sulphate; sulfate of potash; K2SO4",
      "K2SO4",
      AQ_SULFATE,
      { { 0 } },
      NULL,
      "not classified, from memory" },
    { "magnesium sulfate",
      "magnesium sulphate; Epsom salt; MgSO4",
      "MgSO4",
      AQ_SULFATE,
      { { 0 } },
      NULL,
      "not classified, from memory" },
    { "copper sulfate",
      "copper sulphate; CuSO4",
      "CuSO4",
      AQ_SULFATE,
      { { 0.25, "H302 H318 H410" } },
      "Not into a drain or pond.",
      "pentahydrate, solid: " ANNEX_VI },
    { "zinc sulfate",
      "zinc sulphate; ZnSO4",
      "ZnSO4",
      AQ_SULFATE,
      { { 0.25, "H302 H318 H410" } },
      "Not into a drain or pond.",
      "solid: " ANNEX_VI },
    { "manganese sulfate",
      "manganese sulphate; MnSO4",
      "MnSO4",
      AQ_SULFATE,
      { { 0.10, "H373 H411" } },
      NULL,
      "monohydrate, solid; some labels add H318: " ANNEX_VI },
    { "iron sulfate",
      "iron sulphate; ferrous sulfate; ferrous sulphate; FeSO4",
      "FeSO4",
      AQ_SULFATE,
      { { 0.10, "H302 H315 H319" } },
      NULL,
      "heptahydrate, solid: " ANNEX_VI },
    { "boric acid",
      "H3BO3",
      "H3BO3",
      0,
      { { 0.003, "H360FD" } },
      "Not into a drain or pond.",
      "0.3 % since the 17th adaptation, before it 5.5 %: CLP annex VI 005-007-00-2, from memory" },
    { "sodium molybdate", "Na2MoO4", "Na2MoO4", 0, { { 0 } }, NULL, "not classified, from memory" },
    { "IBA",
      "K-IBA; indole-3-butyric acid; indolebutyric acid; rooting hormone",
      NULL,
      AQ_HORMONE,
      { { 0.05, "H302" }, { 0.25, "H301 H315 H319 H335" } },
      HORMONE_PRACTICE,
      "powder: " HORMONE },
    { "NAA",
      "K-NAA; 1-naphthaleneacetic acid; naphthaleneacetic acid",
      NULL,
      AQ_HORMONE,
      { { 0.03, "H318" }, { 0.25, "H302 H318 H335 H412" } },
      HORMONE_PRACTICE,
      "powder: " HORMONE },
};

const aq_substance *aq_substance_table(size_t *count)
{
    *count = COUNT(substances);
    return substances;
}

const char *aq_hazard_text(const char *code)
{
    for (size_t i = 0; i < COUNT(statements); i++)
        if (strcmp(statements[i].code, code) == 0)
            return statements[i].text;
    return NULL;
}

static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

/* Whether the name at `a`, up to its semicolon, is `b`, whatever the case of ASCII letters. */
static bool same_name(const char *a, const char *b)
{
    while (*b && lower(*a) == lower(*b)) {
        a++;
        b++;
    }
    return !*b && (!*a || *a == ';');
}

static bool among(const char *names, const char *name)
{
    while (names && *names) {
        if (lower(*names) == lower(*name) && same_name(names, name))
            return true;
        names = strchr(names, ';');
        if (names)
            names += names[1] == ' ' ? 2 : 1;
    }
    return false;
}

static bool named(const aq_substance *substance, const char *name)
{
    return among(substance->name, name) || among(substance->others, name);
}

/* How long the names are that begin with a letter: most names of parts are no substance's, and need no look at all of
 * them. A name whose length is not here is never found; test_caution asks for every name of the table. */
#define L(length) (1u << (length))
enum { OTHER = 26, LONGEST = 31 };
static const unsigned lengths[] = {
    ['a' - 'a'] = L(4) | L(6) | L(7) | L(11) | L(16) | L(17) | L(18),
    ['b' - 'a'] = L(6) | L(10) | L(12),
    ['c' - 'a'] = L(5) | L(6) | L(8) | L(9) | L(11) | L(12) | L(14) | L(15) | L(16) | L(20),
    ['d' - 'a'] = L(3) | L(17) | L(20),
    ['e' - 'a'] = L(7) | L(10) | L(13),
    ['f' - 'a'] = L(5) | L(15) | L(16),
    ['h' - 'a'] = L(3) | L(4) | L(5) | L(12) | L(16) | L(17),
    ['i' - 'a'] = L(3) | L(11) | L(12) | L(13) | L(17) | L(18) | L(21),
    ['k' - 'a'] = L(3) | L(4) | L(5) | L(6),
    ['l' - 'a'] = L(3),
    ['m' - 'a'] = L(3) | L(5) | L(13) | L(17) | L(18) | L(22) | L(23),
    ['n' - 'a'] = L(3) | L(4) | L(5) | L(6) | L(7) | L(11) | L(15) | L(22),
    ['o' - 'a'] = L(20),
    ['p' - 'a'] = L(7) | L(8) | L(10) | L(13) | L(15) | L(17) | L(18) | L(19) | L(30),
    ['r' - 'a'] = L(15),
    ['s' - 'a'] = L(8) | L(9) | L(13) | L(14) | L(16) | L(17) | L(19),
    ['u' - 'a'] = L(4),
    ['v' - 'a'] = L(7),
    ['z' - 'a'] = L(5) | L(12) | L(13),
    [OTHER] = L(9) | L(10) | L(24),
};
#undef L

static bool may_be_named(const char *name)
{
    char first = lower(name[0]);
    size_t length = strnlen(name, LONGEST + 1);

    return length <= LONGEST && (lengths[first >= 'a' && first <= 'z' ? first - 'a' : OTHER] >> length & 1);
}

const aq_substance *aq_substance_find(const char *name)
{
    if (!may_be_named(name))
        return NULL;
    for (size_t i = 0; i < COUNT(substances); i++)
        if (named(&substances[i], name))
            return &substances[i];
    return NULL;
}

const aq_substance *aq_substance_of_class(const char *name, unsigned classes)
{
    if (!may_be_named(name))
        return NULL;
    for (size_t i = 0; i < COUNT(substances); i++)
        if ((substances[i].classes & classes) && named(&substances[i], name))
            return &substances[i];
    return NULL;
}

const aq_substance *aq_substance_of_formula(const char *formula)
{
    size_t length = strcspn(formula, ".*\xc2");
    for (size_t i = 0; i < COUNT(substances); i++)
        if (substances[i].formula && strlen(substances[i].formula) == length &&
            strncmp(substances[i].formula, formula, length) == 0)
            return &substances[i];
    return NULL;
}

const char *aq_substance_codes(const aq_substance *substance, double strength)
{
    const char *codes = "";
    for (size_t i = 0; i < AQ_BANDS_MOST && substance->bands[i].codes; i++)
        if (isnan(strength) || strength >= substance->bands[i].from)
            codes = substance->bands[i].codes;
    return codes;
}
