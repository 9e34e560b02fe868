/* CSV is read back by a reader written from RFC 4180 alone, cell by cell. */
#include <stdio.h>
#include <stdlib.h>

#include "render/glyph.h"
#include "render/sample.h"

enum { COLUMNS_MOST = 40, CELL_MOST = 400 };

typedef struct {
    char cell[COLUMNS_MOST][CELL_MOST];
    size_t count;
} record;

static int arena_up(void **state)
{
    *state = aq_arena_new(0);
    return *state == NULL;
}

static int arena_down(void **state)
{
    aq_arena_free(*state);
    return 0;
}

/* One record from `*at` on: cells divided by commas, quoted ones with quotes doubled, ended by CRLF. */
static record read_record(const char **at)
{
    record out = { .count = 0 };
    const char *c = *at;
    for (;;) {
        assert_true(out.count < COLUMNS_MOST);
        char *cell = out.cell[out.count++];
        size_t length = 0;
        bool quoted = *c == '"';
        for (c += quoted; quoted ? !(c[0] == '"' && c[1] != '"') : *c != ',' && *c != '\r'; c++) {
            assert_true(*c && length + 1 < CELL_MOST);
            if (quoted && c[0] == '"')
                c++;
            check_true("a bare quote is not allowed", quoted || *c != '"');
            cell[length++] = *c;
        }
        cell[length] = '\0';
        c += quoted;
        if (*c == '\r')
            break;
        assert_int_equal(*c, ',');
        c++;
    }
    assert_true(c[0] == '\r' && c[1] == '\n');
    *at = c + 2;
    return out;
}

static const char *cell(const record *header, const record *line, const char *column)
{
    for (size_t i = 0; i < header->count; i++)
        if (strcmp(header->cell[i], column) == 0)
            return line->cell[i];
    print_error("no column %s\n", column);
    fail();
    return NULL;
}

static void test_a_line_for_each_row(void **state)
{
    aq_buffer out = { 0 };
    const char *at = rendered(&out, "csv", sample_mix(*state, "Part A"), (aq_manner){ 0 });
    record header = read_record(&at), water = read_record(&at), read = read_record(&at),
           pour = read_record(&at);
    check_text("date", cell(&header, &water, "date"), "2026-03-02");
    check_text("time", cell(&header, &water, "time"), "09:05");
    check_text("day", cell(&header, &water, "day"), "12");
    check_text("do", cell(&header, &water, "do"), "water");
    check_text("amount", cell(&header, &water, "amount"), "55");
    check_text("hazards", cell(&header, &water, "hazards"), "H318");
    check_text("reading", cell(&header, &read, "amount"), "0.425");
    check_text("within", cell(&header, &read, "within"), "0.1");
    check_text("title", cell(&header, &pour, "title"), "Mother bed, 60 L to 1.6 mS/cm");
    check_text("part", cell(&header, &pour, "part"), "Part A");
    check_text("exact", cell(&header, &pour, "exact"), "192.04");
    check_text("unit", cell(&header, &pour, "unit"), "mL");
    check_text("pieces", cell(&header, &pour, "pieces"), "3 x 60 + 12");
    check_text("label", cell(&header, &pour, "label_used"), "0.8");
    check_text("final", cell(&header, &pour, "final_ec"), "1.6");
    check_text("row", cell(&header, &pour, "row"), "3");
    record stir = read_record(&at), last = read_record(&at);
    check_text("no amount", cell(&header, &stir, "amount"), "");
    check_text("last", cell(&header, &last, "part"), "Part B");
    check_text("nothing more", at, "");
    aq_buffer_free(&out);
}

static void test_every_line_has_every_column(void **state)
{
    const aq_sheet *sheets[] = { sample_mix(*state, "Part A"), sample_plan(*state), sample_meter(*state),
                                 sample_all(*state), sample_hostile(*state) };
    aq_buffer out = { 0 };
    for (size_t s = 0; s < sizeof sheets / sizeof *sheets; s++) {
        const char *at = rendered(&out, "csv", sheets[s], (aq_manner){ 0 });
        record header = read_record(&at);
        size_t lines = 0;
        for (; *at; lines++)
            assert_int_equal(read_record(&at).count, header.count);
        assert_true(lines > 0);
    }
    aq_buffer_free(&out);
}

static void test_a_plan_has_the_rows_of_all_its_jobs(void **state)
{
    aq_buffer out = { 0 };
    const char *at = rendered(&out, "csv", sample_plan(*state), (aq_manner){ 0 });
    record header = read_record(&at);
    static const struct {
        const char *date, *time, *reservoir, *what;
    } rows[] = {
        { "2026-03-02", "07:30", "Trays", "water" },      { "2026-03-02", "07:30", "Trays", "pour" },
        { "2026-03-02", "09:00", "Mother bed", "water" }, { "2026-03-02", "09:00", "Mother bed", "pour" },
        { "2026-03-05", "", "Trays", "water" },           { "2026-03-05", "", "Trays", "pour" },
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        record line = read_record(&at);
        check_text(rows[i].date, cell(&header, &line, "date"), rows[i].date);
        check_text(rows[i].date, cell(&header, &line, "time"), rows[i].time);
        check_text(rows[i].date, cell(&header, &line, "reservoir"), rows[i].reservoir);
        check_text(rows[i].date, cell(&header, &line, "do"), rows[i].what);
    }
    check_text("nothing more", at, "");
    aq_buffer_free(&out);
}

static void test_figures_are_lines_where_they_were_asked_for(void **state)
{
    aq_buffer out = { 0 };
    const char *at = rendered(&out, "csv", sample_meter(*state), (aq_manner){ 0 });
    record header = read_record(&at), ec = read_record(&at);
    read_record(&at);
    record scale = read_record(&at);
    check_text("do", cell(&header, &ec, "do"), "figure");
    check_text("name", cell(&header, &ec, "part"), "ec");
    check_close("value", strtod(cell(&header, &ec, "amount"), NULL), 900.0 / 700, 0);
    check_text("unit", cell(&header, &ec, "unit"), "mS/cm");
    check_text("text", cell(&header, &scale, "note"), "ppm-700");
    check_text("nothing more", at, "");
    aq_buffer_free(&out);
}

static void test_no_cell_is_run_by_a_spreadsheet(void **state)
{
    static const struct {
        const char *typed, *cell;
    } rows[] = {
        { "=1+1", "'=1+1" },
        { "+cmd", "'+cmd" },
        { "-2 Part", "'-2 Part" },
        { "@SUM(A1)", "'@SUM(A1)" },
        { "\t=1", "\\x09=1" },
        { "\r=1", "\\x0d=1" },
        { "\xef\xbc\x9d"
          "1+1",
          "'\xef\xbc\x9d"
          "1+1" }, /* a fullwidth equals sign */
        { "say \"A\", then B", "say \"A\", then B" },
        { "a\nb", "a\\x0ab" },
        { "\xe2\x80\xae=1", "<U+202E>=1" },
        { "Part A", "Part A" },
        { "5 %", "5 %" },
    };
    aq_buffer out = { 0 };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        aq_sheet *sheet = aq_sheet_new(*state, "mix");
        add_row(sheet, AQ_DO_POUR, rows[i].typed, -0.5, "mL");
        const char *at = rendered(&out, "csv", sheet, (aq_manner){ 0 });
        record header = read_record(&at), line = read_record(&at);
        check_text(rows[i].typed, cell(&header, &line, "part"), rows[i].cell);
        check_text("a number stays one", cell(&header, &line, "amount"), "-0.5");
    }
    aq_buffer_free(&out);
}

static void test_an_element_has_a_line_for_each_source(void **state)
{
    static const struct {
        const char *part, *to, *amount, *note;
    } want[] = {
        { "N", "wanted", "150", "" },     { "N", "got", "148", "" },
        { "N", "from", "18", "tap 1.5" }, { "N", "from", "130", "Calcium nitrate of the old shed" },
        { "NO3-N", "got", "12.5", "" },   { "NO3-N", "from", "12.5", "tap 1.5" },
        { "P", "wanted", "31", "" },      { "P", "got", "0", "" },
    };
    aq_buffer out = { 0 };
    const char *at = rendered(&out, "csv", sample_elements(*state), (aq_manner){ 0 });
    record header = read_record(&at), stir = read_record(&at);
    check_text("a row first", cell(&header, &stir, "do"), "stir");
    for (size_t i = 0; i < sizeof want / sizeof *want; i++) {
        record line = read_record(&at);
        check_text("do", cell(&header, &line, "do"), "record");
        check_text("part", cell(&header, &line, "part"), want[i].part);
        check_text("to", cell(&header, &line, "to"), want[i].to);
        check_text("amount", cell(&header, &line, "amount"), want[i].amount);
        check_text("note", cell(&header, &line, "note"), want[i].note);
    }
    assert_int_equal(*at, '\0');
    aq_buffer_free(&out);
}

static void test_nothing_harmful_is_written(void **state)
{
    aq_buffer out = { 0 };
    const char *text = rendered(&out, "csv", sample_hostile(*state), (aq_manner){ 0 });
    for (size_t i = 0; text[i];) {
        aq_glyph glyph = aq_glyph_at(text + i);
        check_true("harmless", glyph.code == '\r' || glyph.code == '\n' || !aq_glyph_harmful(glyph));
        i += glyph.bytes;
    }
    aq_buffer_free(&out);
}

#define IN_ARENA(test) cmocka_unit_test_setup_teardown(test, arena_up, arena_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        IN_ARENA(test_a_line_for_each_row),
        IN_ARENA(test_every_line_has_every_column),
        IN_ARENA(test_a_plan_has_the_rows_of_all_its_jobs),
        IN_ARENA(test_figures_are_lines_where_they_were_asked_for),
        IN_ARENA(test_no_cell_is_run_by_a_spreadsheet),
        IN_ARENA(test_an_element_has_a_line_for_each_source),
        IN_ARENA(test_nothing_harmful_is_written),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
