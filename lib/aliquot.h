/* aliquot: nutrient mixes and dilutions for plants raised from cuttings in water.
 *
 * The one header a program needs; it includes the public ones in reading order. The library has no clock, no locale,
 * no global state and does no input or output: today is an argument, files come through a callback, and a renderer
 * writes into a sink. Threads may share documents they only read. A C++ program includes this header, and none of the
 * others by itself. */
#ifndef ALIQUOT_H
#define ALIQUOT_H

/* Before the names of C++ are turned into those of C. */
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

#include "base/error.h"
#include "base/arena.h"
#include "base/buffer.h"
#include "base/decimal.h"
#include "base/date.h"
#include "measure/unit.h"
#include "measure/quantity.h"
#include "measure/graduation.h"
#include "document/node.h"
#include "document/field.h"
#include "chemistry/element.h"
#include "chemistry/formula.h"
#include "chemistry/hypochlorite.h"
#include "chemistry/ion.h"
#include "chemistry/composition.h"
#include "chemistry/speciation.h"
#include "chemistry/conductivity.h"
#include "chemistry/standard.h"
#include "chemistry/density.h"
#include "chemistry/liquid.h"
#include "chemistry/acid.h"
#include "chemistry/solubility.h"
#include "model/part.h"
#include "model/recipe.h"
#include "model/water.h"
#include "model/reading.h"
#include "model/site.h"
#include "model/schedule.h"
#include "model/log_entry.h"
#include "model/memory.h"
#include "solve/lsq.h"
#include "solve/learn.h"
#include "solve/typical.h"
#include "solve/uncertainty.h"
#include "solve/drift.h"
#include "solve/adjust.h"
#include "solve/dilute.h"
#include "solve/mix.h"
#include "sheet/sheet.h"
#include "store/log.h"
#include "store/exchange.h"
#include "job/job.h"
#include "job/recall.h"
#include "render/render.h"

#ifdef __cplusplus
}
#endif

#endif
