/* From the names and amounts of a label or a water report to a composition. */
#ifndef AQ_MODEL_MATTER_H
#define AQ_MODEL_MATTER_H

#include "chemistry/composition.h"
#include "document/field.h"

/* The names allowed in a label's analysis, in a water's, and among targets; NULL-ended. */
extern AQ_API const char *const aq_analysis_words[], *const aq_water_words[], *const aq_target_words[];

/* The composition of `amounts`, in walk->arena: a share counts `per_share` g, and a content of 1 g/L (or 1 mol/L)
 * `per_content` g (or mol), per g or litre of product. NULL after a complaint, which begins with "analysis: ". */
const aq_composition *aq_matter_compose(aq_walk *walk, const aq_amounts *amounts, double per_share,
                                        double per_content, aq_as as);

#endif
