/* The entry `analysis` of a part, and what it makes of the part. */
#ifndef AQ_MODEL_ANALYSIS_H
#define AQ_MODEL_ANALYSIS_H

#include "model/part.h"

/* Of aq_analysis. walk->said.basis and walk->said.as, where set, stand in for what the label does not say. */
extern const aq_shape aq_analysis_shape;

/* Works out `composition` and `per_litre` of a part whose analysis was read. */
aq_status aq_label_compose(aq_walk *walk, aq_part *part);

#endif
