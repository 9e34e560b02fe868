/* JSON Schema (draft 2020-12) of the sheet that json.c writes, and of what batch writes for a line without an answer. It allows no member that it does not name, so a renderer
 * that writes one more, or one fewer that is needed, fails the test that validates every sample sheet. */
#include "render/render.h"

static const char *const lines[] = {
    "{\"$schema\":\"https://json-schema.org/draft/2020-12/schema\",",
    "\"title\":\"sheet 1\",\"description\":\"what a person takes to the bench, or a batch line that has no "
    "answer\",",
    "\"if\":{\"properties\":{\"aliquot\":{\"const\":\"error 1\"}}},",
    "\"then\":{\"$ref\":\"#/$defs/error\"},\"else\":{\"$ref\":\"#/$defs/sheet\"},",
    "\"$defs\":{",
    "\"error\":{\"type\":\"object\",\"required\":[\"aliquot\",\"line\",\"errors\"],"
    "\"additionalProperties\":false,\"properties\":{",
    "\"id\":{\"description\":\"of the batch line\"},",
    "\"aliquot\":{\"const\":\"error 1\"},",
    "\"line\":{\"type\":\"integer\",\"minimum\":1,\"description\":\"its number\"},",
    "\"errors\":{\"type\":\"array\",\"minItems\":1,\"items\":{\"type\":\"object\",",
    "\"required\":[\"status\",\"text\"],\"additionalProperties\":false,\"properties\":{",
    "\"status\":{\"type\":\"string\",\"pattern\":\"^AQ_[A-Z_]+$\"},",
    "\"column\":{\"type\":\"integer\",\"minimum\":1},",
    "\"text\":{\"type\":\"string\",\"description\":\"what is wrong, or the question to answer\"}}}}}},",
    "\"sheet\":{",
    "\"type\":\"object\",\"required\":[\"aliquot\",\"job\",\"outcome\"],\"additionalProperties\":false,",
    "\"properties\":{",
    "\"id\":{\"description\":\"of the batch line that this answers\"},",
    "\"aliquot\":{\"const\":\"sheet 1\"},",
    "\"job\":{\"type\":\"string\"},",
    "\"title\":{\"type\":\"string\"},",
    "\"aim\":{\"type\":\"string\",\"description\":\"why this target\"},",
    "\"outcome\":{\"enum\":[\"met\",\"nearest\",\"capped\",\"refused\"]},",
    "\"verdict\":{\"type\":\"string\"},",
    "\"at\":{\"type\":\"string\",\"pattern\":\"^[0-9]{4}-[0-9]{2}-[0-9]{2}(T[0-9]{2}:[0-9]{2})?$\",",
    "\"description\":\"local time\"},",
    "\"timezone\":{\"type\":\"string\"},",
    "\"site\":{\"type\":\"string\"},",
    "\"reservoir\":{\"type\":\"string\"},",
    "\"lot\":{\"type\":\"string\"},",
    "\"day\":{\"type\":\"integer\",\"minimum\":0,\"description\":\"since sticking, day 0\"},",
    "\"who\":{\"type\":\"string\"},",
    "\"note\":{\"type\":\"string\"},",
    "\"volume\":{\"$ref\":\"#/$defs/amount\"},",
    "\"heel\":{\"$ref\":\"#/$defs/amount\"},",
    "\"heel_ec\":{\"$ref\":\"#/$defs/amount\"},",
    "\"water\":{\"type\":\"string\"},",
    "\"hazards\":{\"type\":\"array\",\"items\":{\"$ref\":\"#/$defs/hazard\"}},",
    "\"wear\":{\"$ref\":\"#/$defs/texts\"},",
    "\"cautions\":{\"$ref\":\"#/$defs/texts\"},",
    "\"over_label\":{\"type\":\"string\"},",
    "\"rows\":{\"type\":\"array\",\"items\":{\"$ref\":\"#/$defs/row\"}},",
    "\"expect\":{\"type\":\"object\",\"additionalProperties\":false,\"properties\":{",
    "\"ec\":{\"$ref\":\"#/$defs/amount\"},\"ph\":{\"$ref\":\"#/$defs/window\"}}},",
    "\"short\":{\"type\":\"array\",\"items\":{\"type\":\"object\",\"additionalProperties\":false,",
    "\"required\":[\"what\",\"because\"],\"properties\":{\"what\":{\"type\":\"string\"},",
    "\"by\":{\"$ref\":\"#/$defs/amount\"},\"because\":{\"type\":\"string\"}}}},",
    "\"if_reads\":{\"type\":\"array\",\"items\":{\"$ref\":\"#/$defs/aside\"}},",
    "\"beside\":{\"type\":\"array\",\"items\":{\"$ref\":\"#/$defs/aside\"}},",
    "\"figures\":{\"$ref\":\"#/$defs/figures\"},",
    "\"elements\":{\"type\":\"array\",\"items\":{\"$ref\":\"#/$defs/element\"},",
    "\"description\":\"in a litre of the finished tank, or of the water examined\"},",
    "\"precipitates\":{\"$ref\":\"#/$defs/records\"},",
    "\"causes\":{\"$ref\":\"#/$defs/records\"},",
    "\"learned\":{\"$ref\":\"#/$defs/records\"},",
    "\"jobs\":{\"type\":\"array\",\"items\":{\"$ref\":\"#/$defs/sheet\"}},",
    "\"totals\":{\"$ref\":\"#/$defs/records\"},",
    "\"supplies\":{\"$ref\":\"#/$defs/records\"},",
    "\"next\":{\"$ref\":\"#/$defs/texts\"},",
    "\"unseen\":{\"$ref\":\"#/$defs/texts\"},",
    "\"certificate\":{\"type\":\"object\",\"additionalProperties\":false,\"properties\":{",
    "\"gap\":{\"type\":[\"number\",\"null\"]},\"at_bound\":{\"$ref\":\"#/$defs/texts\"}}},",
    "\"assumed\":{\"$ref\":\"#/$defs/texts\"},",
    "\"why\":{\"$ref\":\"#/$defs/texts\"},",
    "\"defers\":{\"type\":\"string\"}}},",
    "\"texts\":{\"type\":\"array\",\"items\":{\"type\":\"string\"},\"minItems\":1},",
    "\"amount\":{\"type\":\"object\",\"required\":[\"value\",\"unit\"],\"additionalProperties\":false,",
    "\"properties\":{",
    "\"value\":{\"type\":[\"number\",\"null\"]},\"unit\":{\"type\":\"string\"},",
    "\"within\":{\"type\":\"number\",\"exclusiveMinimum\":0}}},",
    "\"window\":{\"type\":\"object\",\"required\":[\"unit\"],\"additionalProperties\":false,\"properties\":{",
    "\"low\":{\"type\":\"number\"},\"high\":{\"type\":\"number\"},\"value\":{\"type\":\"number\"},",
    "\"within\":{\"type\":\"number\",\"exclusiveMinimum\":0},\"unit\":{\"const\":\"pH\"}}},",
    "\"hazard\":{\"type\":\"object\",\"required\":[\"text\"],\"additionalProperties\":false,\"properties\":{",
    "\"code\":{\"type\":\"string\"},\"rule\":{\"type\":\"string\"},\"text\":{\"type\":\"string\"},",
    "\"part\":{\"type\":\"string\"},\"refuses\":{\"const\":true}}},",
    "\"what\":{\"enum\":[\"drain\",\"move\",\"water\",\"predilute\",\"pour\",\"weigh\",\"stir\",\"read\","
    "\"wait\",",
    "\"top\",\"rinse\",\"discard\"]},",
    "\"row\":{\"type\":\"object\",\"required\":[\"do\"],\"additionalProperties\":false,\"properties\":{",
    "\"do\":{\"$ref\":\"#/$defs/what\"},",
    "\"part\":{\"type\":\"string\"},\"water\":{\"type\":\"string\"},\"tank\":{\"type\":\"string\"},",
    "\"to\":{\"type\":\"string\"},\"exact\":{\"$ref\":\"#/$defs/amount\"},\"amount\":{\"$ref\":\"#/$defs/"
    "amount\"},",
    "\"with\":{\"type\":\"string\"},\"pieces\":{\"type\":\"array\",\"items\":{\"type\":\"number\"}},",
    "\"label_used\":{\"type\":\"number\",\"minimum\":0},\"make\":{\"$ref\":\"#/$defs/amount\"},",
    "\"concentrate\":{\"$ref\":\"#/$defs/amount\"},\"each\":{\"$ref\":\"#/$defs/amount\"},",
    "\"strength\":{\"$ref\":\"#/$defs/amount\"},",
    "\"expect\":{\"type\":\"object\",\"additionalProperties\":false,\"properties\":{",
    "\"value\":{\"type\":\"number\"},\"unit\":{\"type\":\"string\"},",
    "\"within\":{\"type\":\"number\",\"exclusiveMinimum\":0},\"ph\":{\"$ref\":\"#/$defs/window\"}}},",
    "\"time\":{\"$ref\":\"#/$defs/amount\"},\"note\":{\"type\":\"string\"}}},",
    "\"aside\":{\"type\":\"object\",\"additionalProperties\":false,\"properties\":{",
    "\"part\":{\"type\":\"string\"},\"label_used\":{\"type\":\"number\",\"minimum\":0},",
    "\"ec\":{\"$ref\":\"#/$defs/amount\"},\"say\":{\"type\":\"string\"},",
    "\"do\":{\"type\":\"array\",\"items\":{\"type\":\"object\",\"required\":[\"do\"],"
    "\"additionalProperties\":false,",
    "\"properties\":{\"do\":{\"$ref\":\"#/$defs/"
    "what\"},\"part\":{\"type\":\"string\"},\"water\":{\"type\":\"string\"},",
    "\"amount\":{\"$ref\":\"#/$defs/amount\"}}}},",
    "\"figures\":{\"$ref\":\"#/$defs/figures\"}}},",
    "\"figure\":{\"anyOf\":[{\"type\":\"string\"},{\"$ref\":\"#/$defs/amount\"},{\"$ref\":\"#/$defs/"
    "figures\"}]},",
    "\"figures\":{\"type\":\"object\",\"minProperties\":1,\"additionalProperties\":{\"$ref\":\"#/$defs/"
    "figure\"}},",
    "\"element\":{\"anyOf\":[{\"type\":\"object\",\"required\":[\"ion\"],",
    "\"additionalProperties\":{\"$ref\":\"#/$defs/figure\"}},",
    "{\"type\":\"object\",\"required\":[\"element\",\"got\"],\"additionalProperties\":false,\"properties\":{",
    "\"element\":{\"type\":\"string\",\"description\":\"N counts all nitrogen; NO3-N, NH4-N and urea-N its "
    "forms\"},",
    "\"wanted\":{\"$ref\":\"#/$defs/amount\",\"description\":\"left out where nothing is aimed at\"},",
    "\"got\":{\"$ref\":\"#/$defs/amount\",\"description\":\"the sum of what is in from\"},",
    "\"from\":{\"type\":\"array\",\"items\":{\"type\":\"object\",\"required\":[\"amount\"],"
    "\"additionalProperties\":false,",
    "\"oneOf\":[{\"required\":[\"water\"]},{\"required\":[\"heel\"]},{\"required\":[\"acid\"]},{\"required\":"
    "["
    "\"part\"]}],",
    "\"properties\":{\"water\":{\"type\":\"string\"},\"heel\":{\"type\":\"string\"},\"acid\":{\"type\":"
    "\"string\"},",
    "\"part\":{\"type\":\"string\"},\"amount\":{\"$ref\":\"#/$defs/amount\"}}}}}}]},",
    "\"records\":{\"type\":\"array\",\"items\":{\"type\":\"object\",",
    "\"anyOf\":[{\"required\":[\"part\"]},{\"required\":[\"water\"]},{\"required\":[\"because\"]},",
    "{\"required\":[\"solid\"]},{\"required\":[\"element\"]},{\"required\":[\"ion\"]},"
    "{\"required\":[\"tank\"]},{\"required\":[\"entry\"]}],",
    "\"additionalProperties\":{\"$ref\":\"#/$defs/figure\"}}}",
    "}}",
};

aq_status aq_schema_sheet(aq_sink sink, aq_error *err)
{
    aq_buffer out = { 0 };
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++) {
        aq_buffer_text(&out, lines[i]);
        aq_buffer_char(&out, '\n');
    }
    return aq_render_send(&out, sink, err);
}
