/* YAML to nodes, by libyaml's events.
 *
 *     name: Part A          a map with two keys; both values are scalars and keep their text
 *     rate: 1-4 mL/L
 *
 * libyaml reads what it is given in linear time with these exceptions, which are refused before it sees them: bytes
 * that no document may hold, and directives (each %TAG is compared with all before it). Its scanner looks at most
 * 1024 characters ahead for a colon, and nesting ends at 32, so what remains stays linear. */
#include "document/node.h"

#include <string.h>
#include <yaml.h>

#include "document/tree.h"
#include "document/utf8.h"

typedef struct {
    yaml_parser_t parser;
    aq_tree tree;
    const char *text, *source;
    size_t length;
    int documents;
} reading;

/* libyaml counts from 0; this is the one place where 1 is added. */
static aq_place place_of(const reading *r, yaml_mark_t from, yaml_mark_t to)
{
    size_t span = to.line == from.line && to.column > from.column ? to.column - from.column : 1;

    return (aq_place){ r->source, (int)(from.line + 1), (int)(from.column + 1), (int)span };
}

/* ---- what is refused before libyaml reads ---- */

static bool line_begins(const reading *r, size_t at, const char *word)
{
    size_t length = strlen(word);

    return r->length - at >= length && memcmp(r->text + at, word, length) == 0;
}

/* The character of `step` bytes at `at`. */
static unsigned long character(const reading *r, size_t at, size_t step)
{
    unsigned long found = (unsigned char)r->text[at];

    if (step > 1)
        found &= 0x7FU >> step;
    for (size_t i = 1; i < step; i++)
        found = found << 6 | ((unsigned char)r->text[at + i] & 0x3F);
    return found;
}

/* What YAML 1.1, section 5.1, takes as printable, but for its three rare line breaks, which no editor shows as lines. */
static bool printable(unsigned long c)
{
    if (c < 0xA0)
        return (c >= 0x20 && c < 0x7F) || c == '\t' || c == '\n' || c == '\r';
    return c != 0x2028 && c != 0x2029 && c != 0xFEFF && c != 0xFFFE && c != 0xFFFF;
}

static aq_status refuse_character(const reading *r, size_t at, yaml_mark_t mark, size_t step)
{
    aq_place place = place_of(r, mark, mark);

    if (step == 0)
        return aq_fail(r->tree.err, AQ_SYNTAX, place,
                       "byte 0x%02X is not UTF-8: save the document as UTF-8 text",
                       (unsigned char)r->text[at]);
    if (r->text[at] == '\0')
        return aq_fail(r->tree.err, AQ_FORBIDDEN, place, "a NUL byte stands here: a document is plain text");
    return aq_fail(r->tree.err, AQ_FORBIDDEN, place,
                   "a character that is no plain text (U+%04lX) stands here: take it out",
                   character(r, at, step));
}

/* Directives stand before a document begins, which is at the start and after a line of three dots. */
static aq_status refuse_directive(const reading *r, size_t at, yaml_mark_t mark, bool *before)
{
    if (line_begins(r, at, "..."))
        *before = true;
    else if (*before && line_begins(r, at, "%"))
        return aq_fail(
            r->tree.err, AQ_FORBIDDEN, place_of(r, mark, mark),
            "a line that begins with %% is a directive, which these documents do not use: take it out");
    else if (!strchr("# \t\r\n", r->text[at]))
        *before = false;
    return AQ_OK;
}

static bool line_ends(const reading *r, size_t at)
{
    return r->text[at] == '\n' || (r->text[at] == '\r' && !(at + 1 < r->length && r->text[at + 1] == '\n'));
}

static aq_status look_over(const reading *r)
{
    yaml_mark_t mark = { 0, 0, 0 };
    bool before = true, line_start = true;
    aq_status status;

    for (size_t at = 0, step; at < r->length; at += step) {
        step = 1;
        if (!line_start && r->text[at] >= 0x20 && r->text[at] < 0x7F) { /* what most of a document is */
            mark.column++;
            continue;
        }
        step = aq_utf8_step(r->text + at, r->length - at);
        if (step == 0 || !printable(character(r, at, step)))
            return refuse_character(r, at, mark, step);
        if (line_start && (status = refuse_directive(r, at, mark, &before)) != AQ_OK)
            return status;
        line_start = line_ends(r, at);
        if (line_start)
            mark.line++;
        mark.column = line_start ? 0 : mark.column + 1;
    }
    return AQ_OK;
}

/* ---- libyaml's complaints in plain words ---- */

static const struct {
    const char *problem, *words;
    bool at_context; /* where the trouble began, not where libyaml noticed it */
} explanations[] = {
    { "could not find expected ':'", "a key needs a colon and a space behind it, like rate: 2 mL/L", true },
    { "mapping values are not allowed in this context",
      "this colon makes no key: the line is indented too far, or the value holds a colon and a space and "
      "needs quotes",
      false },
    { "block sequence entries are not allowed in this context",
      "a list's dash cannot stand here: begin the list on a line of its own", false },
    { "mapping keys are not allowed in this context",
      "a question mark cannot stand here: put the value in quotes", false },
    { "did not find expected key",
      "this line does not fit the lines above it: check the indentation and the quotes", false },
    { "did not find expected '-' indicator",
      "this line does not fit the list above it: check the indentation and the dash", false },
    { "did not find expected ',' or '}'", "a comma or the closing } is missing before this", false },
    { "did not find expected ',' or ']'", "a comma or the closing ] is missing before this", false },
    { "did not find expected node content", "a value is missing before this", false },
    { "did not find expected <document start>",
      "the document has ended before this: check the indentation and the brackets", false },
    { "found unexpected end of stream", "the quotes that open here are never closed", true },
    { "found unexpected document indicator",
      "the quotes that open here are not closed before the document ends", true },
    { "found unknown escape character",
      "no such escape inside double quotes: write a backslash twice, or use single quotes", false },
    { "did not find expected hexdecimal number", "this escape wants hexadecimal digits", false },
    { "found invalid Unicode character escape code", "this escape is no character", false },
    { "found unexpected ':'", "a colon cannot stand here: put the value in quotes", false },
    { "found a tab character that violates indentation", "a tab cannot indent: use spaces", false },
    { "found a tab character where an indentation space is expected", "a tab cannot indent: use spaces",
      false },
    { "did not find expected alphabetic or numeric character",
      "a value cannot begin with & or *: put it in quotes", true },
    { "did not find expected comment or line break", "nothing but a comment can follow | or > on its line",
      false },
};

/* libyaml's index counts characters. */
static char character_at(const reading *r, size_t index)
{
    size_t at = 0;

    for (size_t count = 0; at < r->length; at++)
        if (!aq_utf8_inside(r->text[at]) && count++ == index)
            return r->text[at];
    return '\0';
}

static aq_status explain_start(reading *r, aq_place place)
{
    char found = character_at(r, r->parser.problem_mark.index);

    if (found == '\t')
        return aq_fail(r->tree.err, AQ_SYNTAX, place, "a tab cannot indent: use spaces");
    return aq_fail(r->tree.err, AQ_SYNTAX, place, "a value cannot begin with %c: put it in quotes", found);
}

static bool at_the_end(const reading *r, size_t index)
{
    size_t count = 0;

    for (size_t at = 0; at < r->length; at++)
        count += !aq_utf8_inside(r->text[at]);
    return index >= count;
}

/* Of a list or map in brackets: the closing one may be lines away, or nowhere. */
static aq_status explain_flow(reading *r, const char *words, aq_place place)
{
    aq_place began = place_of(r, r->parser.context_mark, r->parser.context_mark);

    if (at_the_end(r, r->parser.context_mark.index) && r->tree.depth)
        began = r->tree.open[r->tree.depth - 1]->place;
    if (at_the_end(r, r->parser.problem_mark.index))
        return aq_fail(r->tree.err, AQ_SYNTAX, began, "what opens here is never closed: a } or ] is missing");
    if (began.line != place.line)
        return aq_fail(r->tree.err, AQ_SYNTAX, place, "%s (it opened on line %d)", words, began.line);
    return aq_fail(r->tree.err, AQ_SYNTAX, place, "%s", words);
}

static aq_status explain(reading *r)
{
    const yaml_parser_t *p = &r->parser;
    const char *problem = p->problem ? p->problem : "";
    aq_place place = place_of(r, p->problem_mark, p->problem_mark);

    /* libyaml 0.2.5 forgets to say why where memory fails inside a tag. */
    if (p->error == YAML_MEMORY_ERROR || p->error == YAML_NO_ERROR)
        return aq_fail(r->tree.err, AQ_NO_MEMORY, place, "out of memory");
    if (strcmp(problem, "found character that cannot start any token") == 0)
        return explain_start(r, place);
    for (size_t i = 0; i < sizeof explanations / sizeof *explanations; i++) {
        if (strcmp(problem, explanations[i].problem) != 0)
            continue;
        if (explanations[i].at_context && p->context)
            place = place_of(r, p->context_mark, p->context_mark);
        if (p->context && strstr(p->context, "flow"))
            return explain_flow(r, explanations[i].words, place);
        return aq_fail(r->tree.err, AQ_SYNTAX, place, "%s", explanations[i].words);
    }
    return aq_fail(r->tree.err, AQ_SYNTAX, place, "not well-formed YAML: %s", problem);
}

/* ---- events to nodes ---- */

static aq_status refuse_name(reading *r, const yaml_event_t *event, const yaml_char_t *anchor,
                             const yaml_char_t *tag)
{
    aq_place place = place_of(r, event->start_mark, event->start_mark);
    char brief[AQ_BRIEF_ROOM];

    if (anchor)
        return aq_fail(
            r->tree.err, AQ_FORBIDDEN, place,
            "&%s is an anchor, which these documents do not use: take it out, or put the value in quotes",
            aq_utf8_brief((const char *)anchor, brief));
    if (tag)
        return aq_fail(
            r->tree.err, AQ_FORBIDDEN, place,
            "a value that begins with ! has a tag, which these documents do not use: take it out, or put "
            "the value in quotes");
    return AQ_OK;
}

static aq_status take_alias(reading *r, const yaml_event_t *event)
{
    char brief[AQ_BRIEF_ROOM];

    return aq_fail(
        r->tree.err, AQ_FORBIDDEN, place_of(r, event->start_mark, event->end_mark),
        "*%s is an alias, which these documents do not use: write the value out, or put it in quotes",
        aq_utf8_brief((const char *)event->data.alias.anchor, brief));
}

static aq_status take_key(reading *r, const char *text, bool quoted, aq_place place)
{
    if (!*text && !quoted)
        return aq_fail(r->tree.err, AQ_SYNTAX, place, "a key is missing before the colon");
    aq_tree_key(&r->tree, text, place);
    return AQ_OK;
}

static aq_status take_scalar(reading *r, const yaml_event_t *event)
{
    const char *value = (const char *)event->data.scalar.value;
    size_t length = event->data.scalar.length;
    bool quoted = event->data.scalar.style != YAML_PLAIN_SCALAR_STYLE;
    aq_place place = place_of(r, event->start_mark, event->end_mark);
    aq_status status = refuse_name(r, event, event->data.scalar.anchor, event->data.scalar.tag);
    const char *text;

    if (status != AQ_OK)
        return status;
    if (memchr(value, '\0', length))
        return aq_fail(r->tree.err, AQ_FORBIDDEN, place, "this text holds a NUL: take the \\0 out");
    if (length == 0 && !quoted && !aq_tree_wants_key(&r->tree))
        return aq_tree_value(&r->tree, AQ_NODE_NOTHING, place, NULL, false);
    text = aq_arena_text(r->tree.arena, value, length);
    if (!text)
        return aq_fail(r->tree.err, AQ_NO_MEMORY, place, "out of memory");
    if (aq_tree_wants_key(&r->tree))
        return take_key(r, text, quoted, place);
    return aq_tree_value(&r->tree, AQ_NODE_SCALAR, place, text, quoted);
}

static aq_status take_open(reading *r, const yaml_event_t *event)
{
    bool map = event->type == YAML_MAPPING_START_EVENT;
    aq_place place = place_of(r, event->start_mark, event->end_mark);
    aq_status status =
        map ? refuse_name(r, event, event->data.mapping_start.anchor, event->data.mapping_start.tag)
            : refuse_name(r, event, event->data.sequence_start.anchor, event->data.sequence_start.tag);

    if (status != AQ_OK)
        return status;
    if (aq_tree_wants_key(&r->tree))
        return aq_fail(r->tree.err, AQ_FORBIDDEN, place, "a key is a plain text, not a %s",
                       map ? "map" : "list");
    return aq_tree_open(&r->tree, map ? AQ_NODE_MAP : AQ_NODE_LIST, place);
}

static aq_status take(reading *r, const yaml_event_t *event)
{
    switch (event->type) {
    case YAML_DOCUMENT_START_EVENT:
        if (r->documents++ == 0)
            return AQ_OK;
        return aq_fail(r->tree.err, AQ_FORBIDDEN, place_of(r, event->start_mark, event->end_mark),
                       "a second document begins here: keep one in a file");
    case YAML_ALIAS_EVENT:
        return take_alias(r, event);
    case YAML_SCALAR_EVENT:
        return take_scalar(r, event);
    case YAML_MAPPING_START_EVENT:
    case YAML_SEQUENCE_START_EVENT:
        return take_open(r, event);
    case YAML_MAPPING_END_EVENT:
    case YAML_SEQUENCE_END_EVENT:
        return aq_tree_close(&r->tree);
    default:
        return AQ_OK;
    }
}

static aq_status take_all(reading *r)
{
    yaml_event_type_t type = YAML_NO_EVENT;
    aq_status status = AQ_OK;

    while (status == AQ_OK && type != YAML_STREAM_END_EVENT) {
        yaml_event_t event;

        if (!yaml_parser_parse(&r->parser, &event))
            return explain(r);
        type = event.type;
        status = take(r, &event);
        yaml_event_delete(&event);
    }
    return status;
}

aq_status aq_node_yaml(aq_node **out, aq_arena *arena, const char *text, size_t length, const char *source,
                       aq_error *err)
{
    reading r = { .tree = { .arena = arena, .err = err }, .text = text, .length = length, .source = source };
    aq_place start = { source, 1, 1, 1 };
    aq_status status;

    *out = NULL;
    if (length > AQ_DOCUMENT_BYTES)
        return aq_fail(err, AQ_TOO_LARGE, (aq_place){ .source = source }, "more than 1 MiB in one document");
    if (line_begins(&r, 0, "\xEF\xBB\xBF")) {
        r.text += 3;
        r.length -= 3;
    }
    status = look_over(&r);
    if (status != AQ_OK)
        return status;
    if (!yaml_parser_initialize(&r.parser))
        return aq_fail(err, AQ_NO_MEMORY, start, "out of memory");
    yaml_parser_set_encoding(&r.parser, YAML_UTF8_ENCODING);
    yaml_parser_set_input_string(&r.parser, (const unsigned char *)r.text, r.length);
    status = take_all(&r);
    yaml_parser_delete(&r.parser);
    if (status == AQ_OK && (!r.tree.root || r.tree.root->shape == AQ_NODE_NOTHING))
        status = aq_fail(err, AQ_MISSING, start, "the document is empty");
    if (status == AQ_OK)
        *out = r.tree.root;
    return status;
}
