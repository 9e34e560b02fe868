/* Allocations that fail when told to, and a count of the blocks that are alive.
 *
 * The linker's --wrap puts these in front of malloc, calloc, realloc, strdup and free, so the library needs no hook. Only what
 * is linked as an archive comes through here. */
#ifndef FAULTS_H
#define FAULTS_H

#include <stddef.h>

/* The allocation of that number fails, counted from 0 from now on, once. -1: none. */
void fail_allocation(long nth);

/* Whether that allocation was reached. */
int failure_reached(void);

long blocks_alive(void);

#endif
