/* Markup around the sentences of a sheet: what a user typed is escaped here, and nowhere else. */
#include "render/web.h"

#include <string.h>

void aq_web_put(aq_web *web, const char *markup)
{
    aq_buffer_text(&web->out, markup);
}

/* The sentence that was collected, with markup around the names that run from right to left, or as an attribute. */
void aq_web_set_as(aq_web *web, bool marked)
{
    const char *at = aq_buffer_chars(&web->page.line);
    size_t length = strlen(at);
    while (length && at[length - 1] == ' ')
        web->page.line.bytes[--length] = '\0';
    for (; *at; at++) {
        static const char *const escapes[] = { ['&'] = "&amp;",
                                               ['<'] = "&lt;",
                                               ['>'] = "&gt;",
                                               ['"'] = "&quot;",
                                               ['\''] = "&#39;",
                                               [AQ_JOIN_BYTE] = "&#160;",
                                               [AQ_NAME_BYTE] = "&#8296;",
                                               [AQ_NAME_END_BYTE] = "&#8297;" };
        unsigned char c = (unsigned char)*at;
        if (marked && (c == AQ_NAME_BYTE || c == AQ_NAME_END_BYTE))
            aq_web_put(web, c == AQ_NAME_BYTE ? "<bdi>" : "</bdi>");
        else if (c < sizeof escapes / sizeof *escapes && escapes[c])
            aq_web_put(web, escapes[c]);
        else
            aq_buffer_char(&web->out, *at);
    }
    aq_page_drop(&web->page);
    web->out.failed = web->out.failed || web->page.out.failed;
}

void aq_web_set(aq_web *web)
{
    aq_web_set_as(web, true);
}

void aq_web_paragraph(aq_web *web, const char *before, const char *typed)
{
    if (!typed)
        return;
    aq_web_put(web, "<p>");
    aq_page_text(&web->page, before);
    aq_page_name(&web->page, typed);
    aq_web_set(web);
    aq_web_put(web, "</p>\n");
}

void aq_web_heading(aq_web *web, const char *words)
{
    aq_web_put(web, "<h2>");
    aq_web_put(web, words);
    aq_web_put(web, "</h2>\n");
}

/* What runs on in small type where paper is short: a heading and the list under it. */
void aq_web_begin_run(aq_web *web, const char *title)
{
    aq_web_put(web, "<section class=\"run\">\n");
    aq_web_heading(web, title);
    aq_web_put(web, "<ul>\n");
}

void aq_web_end_run(aq_web *web)
{
    aq_web_put(web, "</ul>\n</section>\n");
}

void aq_web_list(aq_web *web, const char *title, const aq_texts *texts)
{
    if (!texts->count)
        return;
    if (title)
        aq_web_begin_run(web, title);
    else
        aq_web_put(web, "<ul>\n");
    for (size_t i = 0; i < texts->count; i++) {
        aq_web_put(web, "<li>");
        aq_html_text(&web->out, texts->at[i]);
        aq_web_put(web, "</li>\n");
    }
    if (title)
        aq_web_end_run(web);
    else
        aq_web_put(web, "</ul>\n");
}

/* A line of a list, as it was collected. */
void aq_web_item(aq_web *web)
{
    aq_web_put(web, "<li>");
    aq_web_set(web);
    aq_web_put(web, "</li>\n");
}
