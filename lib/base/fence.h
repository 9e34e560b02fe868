/* Fences for the address sanitizer between pieces of memory that we hand out ourselves: who reads or writes beyond its
 * piece is told so, as it would be of malloc's. Without that sanitizer a fence has no width and nothing is done. Private
 * to the library. */
#ifndef AQ_BASE_FENCE_H
#define AQ_BASE_FENCE_H

#include <stddef.h>

#ifdef __has_feature /* clang's word for it; gcc defines a macro */
#if __has_feature(address_sanitizer) && !defined(__SANITIZE_ADDRESS__)
#define __SANITIZE_ADDRESS__ 1
#endif
#endif

#ifdef __SANITIZE_ADDRESS__
#include <sanitizer/asan_interface.h>
enum { AQ_FENCE = 16 }; /* bytes behind a piece, a multiple of every alignment */
#else
enum { AQ_FENCE = 0 };
#endif

/* Nobody may touch these bytes until they are opened. `at` is aligned for any type. */
static inline void aq_fence_close(const void *at, size_t size)
{
#ifdef __SANITIZE_ADDRESS__
    ASAN_POISON_MEMORY_REGION(at, size);
#else
    (void)at, (void)size;
#endif
}

static inline void aq_fence_open(const void *at, size_t size)
{
#ifdef __SANITIZE_ADDRESS__
    ASAN_UNPOISON_MEMORY_REGION(at, size);
#else
    (void)at, (void)size;
#endif
}

#endif
