/* How a web page of a sheet looks: one style for screens and paper. */
#ifndef AQ_RENDER_STYLE_H
#define AQ_RENDER_STYLE_H

extern const char aq_page_style[];

#endif
