/* The rows of an aim, which stages, reservoirs and jobs have in common. */
#ifndef AQ_MODEL_STAGE_H
#define AQ_MODEL_STAGE_H

#include "model/limits.h"
#include "model/matter.h"
#include "model/recipe.h"

/* Rows for `aim`, a member of `type` that is an aq_aim. */
#define AQ_AIM_ROWS(type, aim)                                                                               \
    { .key = "ec",                                                                                           \
      .read = AQ_READ_QUANTITY,                                                                              \
      .want = AQ_WANT_EC,                                                                                    \
      .bounded = true,                                                                                       \
      .least = 0,                                                                                            \
      .most = AQ_EC_MOST,                                                                                    \
      .into = offsetof(type, aim.ec),                                                                        \
      .help = "EC wanted",                                                                                   \
      .example = "1.6 mS/cm" },                                                                              \
        { .key = "strength",                                                                                 \
          .read = AQ_READ_QUANTITY,                                                                          \
          .want = AQ_WANT_SHARE,                                                                             \
          .bounded = true,                                                                                   \
          .above = true,                                                                                     \
          .least = 0,                                                                                        \
          .most = AQ_STRENGTH_MOST,                                                                          \
          .into = offsetof(type, aim.strength),                                                              \
          .help = "share of the label's top rate",                                                           \
          .example = "50 %" },                                                                               \
        { .key = "rates",                                                                                    \
          .read = AQ_READ_AMOUNTS,                                                                           \
          .want = AQ_WANT_RATE | AQ_WANT_CONTENT,                                                            \
          .bounded = true,                                                                                   \
          .least = 0,                                                                                        \
          .most = AQ_CONTENT_MOST,                                                                           \
          .into = offsetof(type, aim.rates),                                                                 \
          .help = "rate of each part",                                                                       \
          .example = "{Part A: 2 mL/L, Part B: 2 mL/L}" },                                                   \
        { .key = "targets",                                                                                  \
          .read = AQ_READ_AMOUNTS,                                                                           \
          .want = AQ_WANT_CONTENT | AQ_WANT_MOLARITY,                                                        \
          .bounded = true,                                                                                   \
          .least = 0,                                                                                        \
          .most = AQ_CONTENT_MOST,                                                                           \
          .choices = aq_target_words,                                                                        \
          .into = offsetof(type, aim.targets),                                                               \
          .help = "elements wanted in the tank",                                                             \
          .example = "{N: 150 mg/L, K: 210 mg/L}" },                                                         \
        { .key = "tolerance",                                                                                \
          .read = AQ_READ_AMOUNTS,                                                                           \
          .want = AQ_WANT_SHARE,                                                                             \
          .bounded = true,                                                                                   \
          .above = true,                                                                                     \
          .least = 0,                                                                                        \
          .most = 1,                                                                                         \
          .choices = aq_target_words,                                                                        \
          .into = offsetof(type, aim.tolerance),                                                             \
          .help = "how near each target must be met",                                                        \
          .example = "{N: 5 %, Ca: 10 %}" },                                                                 \
    {                                                                                                        \
        .key = "ph", .read = AQ_READ_NUMBERS, .bounded = true, .least = 0, .most = AQ_PH_MOST,               \
        .into = offsetof(type, aim.ph), .help = "window of pH, set last", .example = "5.6-6.2"               \
    }

/* AQ_CONFLICT where more than one thing is aimed at; rates within their limits. */
aq_status aq_aim_check(aq_walk *walk, const aq_aim *aim, const aq_node *node);

#endif
