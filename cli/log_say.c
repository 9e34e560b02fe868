/* An entry of the log in one line, for people. */
#include "log_say.h"

void cli_say_quantity(aq_buffer *out, aq_arena *arena, aq_quantity quantity)
{
    aq_amount amount = aq_kind_equal(quantity.kind, AQ_KIND_MASS) ? aq_amount_mass(quantity.value, true)
                                                                  : aq_amount_volume(quantity.value, true);
    const char *text = aq_say(arena, amount.value, amount.unit);

    aq_buffer_text(out, text ? text : "");
}

static void say_amounts(aq_buffer *out, aq_arena *arena, const char *before, const aq_amounts *amounts)
{
    for (size_t i = 0; i < amounts->count; i++) {
        aq_buffer_text(out, i ? ", " : before);
        cli_say_quantity(out, arena, amounts->at[i].amount);
        aq_buffer_char(out, ' ');
        aq_text_add(out, amounts->at[i].name);
    }
}

void cli_say_number(aq_buffer *out, const char *before, double value, int places, const char *after)
{
    char digits[AQ_DECIMAL_ROOM];

    aq_decimal_places(value, places, digits);
    aq_buffer_format(out, "%s%s%s", before, digits, after);
}

static void say_readings(aq_buffer *out, const aq_entry *e)
{
    if (e->ec_before.given && e->ec_after.given)
        cli_say_number(out, "; EC ", e->ec_before.value, 2, "");
    if (e->ec_after.given)
        cli_say_number(out, e->ec_before.given ? " to " : "; EC ", e->ec_after.value, 2, "");
    if (e->ph.given)
        cli_say_number(out, "; pH ", e->ph.value, 1, "");
    if (e->temperature.given)
        cli_say_number(out, "; ", e->temperature.value, 1, " degC");
}

static void say_words(aq_buffer *out, const char *before, const char *text)
{
    if (!text)
        return;
    aq_buffer_text(out, before);
    aq_text_add(out, text);
}

void cli_say_entry(aq_buffer *out, aq_arena *arena, const aq_entry *e)
{
    aq_buffer_text(out, aq_entry_word(e->kind));
    say_words(out, ", ", e->reservoir ? e->reservoir : e->lot);
    if (e->volume.given) {
        aq_buffer_text(out, ", ");
        cli_say_quantity(out, arena, e->volume);
    }
    say_amounts(out, arena, ": ", e->poured.count ? &e->poured : &e->left);
    say_words(out, ": ", e->gate);
    say_words(out, "; passed: ", e->passed == AQ_YES ? "yes" : e->passed == AQ_NO ? "no" : NULL);
    say_readings(out, e);
    say_words(out, "; over the label: ", e->over_label);
    say_words(out, "; ", e->who);
    say_words(out, e->kind == AQ_ENTRY_NOTE ? ": " : "; ", e->note);
    if (e->undone)
        aq_buffer_text(out, "; taken back");
}
