/* What all our pages share: head, style, policy, and what prevents harm. */
#ifndef FOCI_SHOW_PAGE_H
#define FOCI_SHOW_PAGE_H

#include "fieldfoci/survey.h"
#include "show/draw/html.h"

/* From the first byte to the open <body>, in the style of this asset. The policy is
 * foci_page_policy's; with `viewer` the map viewer follows. The papers have the names that style sheets know them by.
 */
void foci_page_begin(foci_html *html, const char *title, const foci_paper *paper, const char *style, bool viewer);

/* Ends body and page; `viewer` as above. */
void foci_page_end(foci_html *html, bool viewer);

/* <section> with its title; closed by foci_page_section_end. */
void foci_page_section(foci_html *html, const char *title);
void foci_page_section_end(foci_html *html);

/* A list of sentences from `first` on, each in `tag`. */
void foci_page_sentences(foci_html *html, const char *tag, const foci_sentences *sentences, size_t first);

/* The reasons given for going on, cautions and warnings, in the order of every sheet. */
void foci_page_said(foci_html *html, const char *even_so, const foci_sentences *cautions,
                    const foci_sentences *warnings);

/* How it was made, for who would do it again: every option by name and value; which programs worked, when, in which
 * system, on what cells (metres). */
void foci_page_job(foci_html *html, const foci_job_words *job);
void foci_page_programs(foci_html *html, const char *made, const char *work_crs, double cell);

#endif
