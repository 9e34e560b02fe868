/* The cautions where memory is short, 16 bytes more each time. */
#include "sheet/said.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

typedef struct {
    aq_handled handled[5];
    size_t count;
    bool acid; /* a row pours it */
} scene;

static aq_sheet *play(aq_arena *arena, const scene *of, aq_status *status)
{
    aq_sheet *sheet = aq_sheet_new(arena, "mix");
    aq_row *row = sheet ? aq_sheet_row(sheet, AQ_DO_POUR) : NULL;
    aq_error err = { .status = AQ_OK };

    *status = AQ_NO_MEMORY;
    if (!row)
        return NULL;
    row->part = of->acid ? "nitric" : "Feed";
    *status = aq_caution_apply(sheet, of->handled, of->count, &err);
    assert_int_equal(err.status, *status);
    return sheet;
}

static void check_all_or_nothing(const scene *of, const aq_sheet *whole)
{
    aq_status status = AQ_NO_MEMORY;
    size_t ceiling = sizeof(aq_sheet);

    for (; status != AQ_OK; ceiling += 16) {
        aq_arena *arena = aq_arena_new(ceiling);
        const aq_sheet *sheet = play(arena, of, &status);
        if (status == AQ_OK) {
            assert_int_equal(sheet->hazards.count, whole->hazards.count);
            assert_int_equal(sheet->wear.count, whole->wear.count);
            assert_int_equal(sheet->cautions.count, whole->cautions.count);
            assert_int_equal(sheet->rows.count, whole->rows.count);
            for (size_t i = 0; i < whole->hazards.count; i++)
                if (whole->hazards.at[i].part)
                    check_text("who", sheet->hazards.at[i].part, whole->hazards.at[i].part);
        }
        aq_arena_free(arena);
    }
    assert_true(ceiling > sizeof(aq_sheet) + 256);
}

/* Wherever memory is out, the sheet is given up: none is handed over with a hazard missing. In each scene another
 * thing is the last that takes memory. */
static void test_no_sheet_without_one_of_its_hazards_when_memory_is_short(void **state)
{
    static const char *both[] = { "H318", "H335" }, *fish[] = { "H400" };
    static const aq_part part = { .name = "Part A", .hazards = { .at = both, .count = 2 } },
                         other = { .name = "Part B",
                                   .of = "moon dust",
                                   .hazards = { .at = both, .count = 2 } },
                         quiet = { .name = "Copper feed", .hazards = { .at = fish, .count = 1 } };
    static const scene scenes[] = {
        { { { .name = "Part A", .part = &part, .concentrate = true },
            { .name = "Part B", .part = &other, .concentrate = true },
            { .name = "Lime", .substance = "calcium nitrate", .strength = 1, .concentrate = true },
            { .name = "Bitter", .substance = "magnesium sulfate", .strength = 1, .concentrate = true },
            { .name = "nitric", .substance = "nitric acid", .strength = 0.67, .concentrate = true } },
          5,
          true },
        { { { .name = "Copper feed", .part = &quiet, .concentrate = true } }, 1, false },
        { { { .name = "One", .part = &quiet, .concentrate = true },
            { .name = "A second name, longer than all of the others", .part = &quiet, .concentrate = true } },
          2,
          false },
        { { { .name = "potash", .substance = "potassium nitrate", .strength = 1 } }, 1, false },
        { { { .name = "Slime", .substance = "moon dust", .strength = 1 } }, 1, false },
        { { { .name = "Lime", .substance = "calcium nitrate" },
            { .name = "MgSO4", .substance = "magnesium sulfate" } },
          2,
          false },
        { { { .name = "hormone", .substance = "IBA", .strength = 0.001 } }, 1, false },
        { { { .name = "weak", .substance = "nitric acid", .strength = 0.001 } }, 1, false },
    };

    for (size_t i = 0; i < COUNT(scenes); i++) {
        aq_status status;
        const aq_sheet *whole = play(*state, &scenes[i], &status);
        assert_int_equal(status, AQ_OK);
        check_all_or_nothing(&scenes[i], whole);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        IN_ARENA(test_no_sheet_without_one_of_its_hazards_when_memory_is_short),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
