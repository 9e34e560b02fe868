/* JSON Schema (draft 2020-12) of a job's options and of the documents, made from their own rows: a key that is read is a
 * key that the schema has. Entries within entries become $defs by the noun of their shape.
 *
 * A quantity is a string such as "60 L"; its unit and limits are the reader's to judge, for a schema knows no units.
 * Numbers may stand as numbers or as strings, since a line made from a spreadsheet has strings. An entry may be
 * an object, or the text that the command line takes: "{name: A, rate: 2-4 mL/L}". */
#include <string.h>

#include "model/whole.h"
#include "render/json_pen.h"

enum { SHAPES_MOST = 64 };

typedef struct {
    aq_buffer out;
    const aq_shape *shapes[SHAPES_MOST]; /* those seen, each once, in the order they are written */
    size_t count;
} aq_drawing;

static void put(aq_drawing *drawing, const char *text)
{
    aq_buffer_text(&drawing->out, text);
}

static void quote(aq_drawing *drawing, const char *text)
{
    aq_json_string(&drawing->out, text);
}

/* The number of a shape among those seen; a new one is kept to be written later. */
static size_t number_of(aq_drawing *drawing, const aq_shape *shape)
{
    for (size_t i = 0; i < drawing->count; i++)
        if (drawing->shapes[i] == shape)
            return i;
    if (drawing->count == SHAPES_MOST) {
        drawing->out.failed = true;
        return 0;
    }
    drawing->shapes[drawing->count] = shape;
    return drawing->count++;
}

/* "part", or "stage-2" where another shape has the noun too. */
static void shape_name(aq_drawing *drawing, size_t number)
{
    size_t same = 1;
    for (size_t i = 0; i < number; i++)
        same += strcmp(drawing->shapes[i]->noun, drawing->shapes[number]->noun) == 0;
    for (const char *c = drawing->shapes[number]->noun; *c; c++)
        aq_buffer_char(&drawing->out, *c == ' ' ? '-' : *c);
    if (same > 1)
        aq_buffer_format(&drawing->out, "-%zu", same);
}

static void entry(aq_drawing *drawing, const aq_shape *shape)
{
    put(drawing, "{\"anyOf\":[{\"type\":\"string\"},{\"$ref\":\"#/$defs/");
    shape_name(drawing, number_of(drawing, shape));
    put(drawing, "\"}]}");
}

static void choices(aq_drawing *drawing, const char *const *words)
{
    put(drawing, "{\"enum\":[");
    for (size_t i = 0; words[i]; i++) {
        put(drawing, i ? "," : "");
        quote(drawing, words[i]);
        if (strspn(words[i], "0123456789") == strlen(words[i]))
            aq_buffer_format(&drawing->out, ",%s", words[i]);
    }
    put(drawing, "]}");
}

static void amounts(aq_drawing *drawing, const aq_field *field)
{
    put(drawing, "{\"anyOf\":[{\"type\":\"string\"},{\"type\":\"object\",\"additionalProperties\":"
                 "{\"type\":[\"string\",\"number\"]}");
    if (field->choices) {
        put(drawing, ",\"propertyNames\":");
        choices(drawing, field->choices);
    }
    put(drawing, "}]}");
}

/* One value of the field, were it not given more than once. */
static void single(aq_drawing *drawing, const aq_field *field)
{
    static const char *const plain[] = {
        [AQ_READ_TEXT] = "{\"type\":\"string\",\"minLength\":1}",
        [AQ_READ_YES_NO] = "{\"enum\":[\"yes\",\"no\",true,false]}",
        [AQ_READ_COUNT] = "{\"type\":[\"integer\",\"string\"]}",
        [AQ_READ_NUMBER] = "{\"type\":[\"number\",\"string\"]}",
        [AQ_READ_NUMBERS] = "{\"type\":[\"number\",\"string\"]}",
        [AQ_READ_QUANTITY] = "{\"type\":\"string\"}",
        [AQ_READ_RANGE] = "{\"type\":\"string\"}",
        [AQ_READ_STRENGTH] = "{\"type\":\"string\"}",
        [AQ_READ_RATIO] = "{\"type\":\"string\"}",
        [AQ_READ_LEVEL] = "{\"type\":\"string\"}",
        [AQ_READ_SLOPE] = "{\"type\":\"string\"}",
        [AQ_READ_SIZE] = "{\"type\":\"string\"}",
        [AQ_READ_DATE] = "{\"type\":\"string\",\"format\":\"date\"}",
        [AQ_READ_MINUTE] = "{\"type\":\"string\",\"pattern\":\"^[0-9]{1,2}:[0-9]{2}$\"}",
        [AQ_READ_MOMENT] = "{\"type\":\"string\"}",
        [AQ_READ_TEXTS] =
            "{\"anyOf\":[{\"type\":\"string\"},{\"type\":\"array\",\"items\":{\"type\":\"string\"}}]}",
        [AQ_READ_CUSTOM] = "{\"type\":[\"string\",\"number\",\"object\",\"array\"]}",
    };
    if (field->custom == aq_whole_kind) {
        put(drawing, "{\"const\":");
        quote(drawing, field->example);
        put(drawing, "}");
    } else if (field->read == AQ_READ_QUANTITY && field->bare)
        put(drawing, "{\"type\":[\"number\",\"string\"]}");
    else if (field->read == AQ_READ_CHOICE)
        choices(drawing, field->choices);
    else if (field->read == AQ_READ_ENTRY || field->read == AQ_READ_ENTRIES)
        entry(drawing, field->shape);
    else if (field->read == AQ_READ_AMOUNTS)
        amounts(drawing, field);
    else if (field->read == AQ_READ_NAMED) {
        put(drawing, "{\"anyOf\":[{\"type\":\"string\"},{\"type\":\"object\",\"additionalProperties\":");
        entry(drawing, field->shape);
        put(drawing, "}]}");
    } else {
        put(drawing, plain[field->read]);
    }
}

/* Once, or a list where it may be given more than once. */
static void value(aq_drawing *drawing, const aq_field *field)
{
    bool listed = field->read == AQ_READ_ENTRIES || (field->many && field->read != AQ_READ_TEXTS);
    if (!listed) {
        single(drawing, field);
        return;
    }
    put(drawing, "{\"anyOf\":[");
    single(drawing, field);
    put(drawing, ",{\"type\":\"array\",\"items\":");
    single(drawing, field);
    put(drawing, "}]}");
}

/* The value with its words: {"allOf":[value],...} would do, but keys beside a schema's own read better. */
static void property(aq_drawing *drawing, const aq_field *field)
{
    quote(drawing, field->key);
    put(drawing, ":");
    value(drawing, field);
    if (drawing->out.failed)
        return;
    drawing->out.length--; /* the closing brace, for what else is said */
    if (field->help) {
        put(drawing, ",\"description\":");
        quote(drawing, field->help);
    }
    if (field->example) {
        put(drawing, ",\"examples\":[");
        quote(drawing, field->example);
        put(drawing, "]");
    }
    put(drawing, "}");
}

static void required(aq_drawing *drawing, const aq_shape *shape, bool any)
{
    for (size_t i = 0; i < shape->count; i++) {
        if (!shape->fields[i].needed)
            continue;
        put(drawing, any ? "," : ",\"required\":[");
        quote(drawing, shape->fields[i].key);
        any = true;
    }
    put(drawing, any ? "]" : "");
}

static void properties(aq_drawing *drawing, const aq_shape *shape, bool any)
{
    for (size_t i = 0; i < shape->count; i++) {
        put(drawing, any || i ? ",\n" : "");
        property(drawing, &shape->fields[i]);
    }
}

/* An entry's object. The name of one that stands under its name is not among its keys, so nothing is required twice. */
static void definition(aq_drawing *drawing, size_t number)
{
    const aq_shape *shape = drawing->shapes[number];
    put(drawing, "\"");
    shape_name(drawing, number);
    put(drawing, "\":{\"type\":\"object\",\"properties\":{\n");
    properties(drawing, shape, false);
    put(drawing, "}");
    required(drawing, shape, false);
    put(drawing, shape->rest ? ",\"additionalProperties\":{\"type\":[\"string\",\"number\"]}}"
                             : ",\"additionalProperties\":false}");
}

static void begin(aq_drawing *drawing, const char *title, const char *words)
{
    put(drawing, "{\"$schema\":\"https://json-schema.org/draft/2020-12/schema\",\n\"title\":");
    quote(drawing, title);
    put(drawing, ",\"description\":");
    quote(drawing, words);
    put(drawing, ",\n\"type\":\"object\"");
}

static aq_status finish(aq_drawing *drawing, aq_sink sink, aq_error *err)
{
    put(drawing, ",\n\"$defs\":{\n");
    for (size_t i = 0; i < drawing->count && !drawing->out.failed; i++) {
        put(drawing, i ? ",\n" : "");
        definition(drawing, i);
    }
    put(drawing, "}}\n");
    return aq_render_send(&drawing->out, sink, err);
}

/* What a line of that job may hold: its rows, and what the batch itself reads. */
static void line_of(aq_drawing *drawing, const aq_job *job)
{
    put(drawing, "\"properties\":{\n\"job\":{\"const\":");
    quote(drawing, job->name);
    put(drawing,
        "},\n\"id\":{\"description\":\"given back with the answer\"},\n"
        "\"subject\":{\"type\":\"string\",\"description\":\"a reservoir, bottle or lot of the site\"},\n"
        "\"why\":{\"description\":\"an answer has it, whatever is said here\"}");
    properties(drawing, job->asks, true);
    put(drawing, "},\n\"required\":[\"job\"");
    required(drawing, job->asks, true);
    put(drawing, ",\"additionalProperties\":false");
}

aq_status aq_schema_job(const aq_job *job, aq_sink sink, aq_error *err)
{
    aq_drawing drawing = { 0 };
    begin(&drawing, job->name, job->does);
    put(&drawing, ",");
    line_of(&drawing, job);
    return finish(&drawing, sink, err);
}

/* The job decides which rows hold, so that a complaint is about this job's rows and not about every job's. */
aq_status aq_schema_batch(aq_sink sink, aq_error *err)
{
    aq_drawing drawing = { 0 };
    size_t count;
    const aq_job *const *jobs = aq_job_table(&count);
    begin(&drawing, "batch line", "one question of aliquot batch");
    put(&drawing, ",\"required\":[\"job\"],\"properties\":{\"job\":{\"enum\":[");
    for (size_t i = 0; i < count; i++) {
        put(&drawing, i ? "," : "");
        quote(&drawing, jobs[i]->name);
    }
    put(&drawing, "]}},\n\"allOf\":[");
    for (size_t i = 0; i < count; i++) {
        put(&drawing, i ? ",\n" : "\n");
        put(&drawing, "{\"if\":{\"properties\":{\"job\":{\"const\":");
        quote(&drawing, jobs[i]->name);
        put(&drawing, "}}},\"then\":{");
        line_of(&drawing, jobs[i]);
        put(&drawing, "}}");
    }
    put(&drawing, "]");
    return finish(&drawing, sink, err);
}

static aq_status document(const aq_shape *shape, const char *words, aq_sink sink, aq_error *err)
{
    aq_drawing drawing = { 0 };
    begin(&drawing, shape->noun, words);
    put(&drawing, ",\"properties\":{\n");
    properties(&drawing, shape, false);
    put(&drawing, "}");
    required(&drawing, shape, false);
    put(&drawing, ",\"additionalProperties\":false");
    return finish(&drawing, sink, err);
}

aq_status aq_schema_recipe(aq_sink sink, aq_error *err)
{
    return document(&aq_recipe_shape, "what labels and targets say", sink, err);
}

aq_status aq_schema_site(aq_sink sink, aq_error *err)
{
    return document(&aq_site_shape, "what this grower has", sink, err);
}
