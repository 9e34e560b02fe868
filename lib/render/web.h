/* A web page while it is written. */
#ifndef AQ_RENDER_WEB_H
#define AQ_RENDER_WEB_H

#include "render/sentence.h"
#include "render/svg.h"

typedef struct {
    aq_buffer out;
    aq_page page; /* whose line collects a sentence */
    aq_charts charts;
    const aq_sheet *sheet;
    bool why;
} aq_web;

void aq_web_put(aq_web *web, const char *markup);    /* our own, as it stands */
void aq_web_set(aq_web *web);                        /* the sentence that was collected */
void aq_web_set_as(aq_web *web, bool marked);        /* false: for an attribute, which holds no markup */
void aq_web_item(aq_web *web);                       /* it, as a line of a list */
void aq_web_heading(aq_web *web, const char *words); /* our own */
void aq_web_paragraph(aq_web *web, const char *before, const char *typed); /* NULL: none */

/* What runs on in small type where paper is short: a heading and the list under it. */
void aq_web_begin_run(aq_web *web, const char *title);
void aq_web_end_run(aq_web *web);
void aq_web_list(aq_web *web, const char *title, const aq_texts *texts); /* NULL: a plain list */

#endif
