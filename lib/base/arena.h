/* The memory of one document, one question or one sheet: many small pieces, freed at once.
 *
 * An arena grows in blocks and has a ceiling, so hostile input runs out of arena before the machine runs out of
 * memory. Every piece is aligned for any type, and zeroed but for those of aq_arena_room. A piece is never freed alone. */
#ifndef AQ_BASE_ARENA_H
#define AQ_BASE_ARENA_H

#include "base/error.h"

typedef struct aq_arena aq_arena;

/* `ceiling` in bytes; 0 takes the default of 64 MiB. NULL when memory is out. */
AQ_API aq_arena *aq_arena_new(size_t ceiling);
AQ_API void aq_arena_free(aq_arena *arena); /* NULL is fine */

/* Forgets every piece but keeps the blocks, so that the next question of a batch allocates nothing. */
AQ_API void aq_arena_reset(aq_arena *arena);

/* NULL when memory is out or the ceiling is reached; from then on nothing is given until a reset, so that of a text in
 * several pieces the last one cannot stand without the first. */
AQ_API void *aq_arena_take(aq_arena *arena, size_t size);
AQ_API void *aq_arena_room(aq_arena *arena, size_t size); /* not zeroed, for who fills all of it at once */
AQ_API void *aq_arena_take_array(aq_arena *arena, size_t count, size_t size);  /* checks count * size */
AQ_API char *aq_arena_text(aq_arena *arena, const char *bytes, size_t length); /* a copy, ended with a NUL */
AQ_API char *aq_arena_format(aq_arena *arena, const char *format, ...) AQ_PRINTF(2, 3);
AQ_API char *aq_arena_format_list(aq_arena *arena, const char *format, va_list values) AQ_PRINTF(2, 0);

/* A list that grows inside an arena. Every list type has this layout, so one function serves them all:
 *
 *     AQ_LIST(aq_part) parts = { 0 };
 *     aq_part *part = aq_list_add(arena, &parts, sizeof *part);      NULL: out of memory
 *
 * `room` doubles as it fills; a list given up as it grows stays in the arena. */
#define AQ_LIST(type)                                                                                        \
    struct {                                                                                                 \
        type *at;                                                                                            \
        size_t count, room;                                                                                  \
    }

AQ_API void *aq_list_grow(aq_arena *arena, void *at, size_t *count, size_t *room, size_t size);
#define aq_list_add(arena, list, size)                                                                       \
    aq_list_grow((arena), &(list)->at, &(list)->count, &(list)->room, (size))

#endif
