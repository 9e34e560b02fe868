/* Blocks of memory handed out from front to back. A block is at least as large as all before it together, so a document
 * of any size takes few of them. */
#include "base/arena.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/fence.h"
#include "base/format.h"

enum { FIRST_BLOCK = 16 * 1024, ALIGNMENT = _Alignof(max_align_t) };
static const size_t default_ceiling = (size_t)64 << 20;

typedef struct block block;
struct block {
    block *next;
    size_t room, used;
    max_align_t bytes[];
};

struct aq_arena {
    block *first, *now; /* blocks behind `now` are empty, kept by a reset */
    size_t ceiling, taken;
    bool spent; /* something was refused since the last reset */
};

aq_arena *aq_arena_new(size_t ceiling)
{
    aq_arena *arena = malloc(sizeof *arena);

    if (arena)
        *arena = (aq_arena){ .ceiling = ceiling ? ceiling : default_ceiling };
    return arena;
}

void aq_arena_free(aq_arena *arena)
{
    block *next;

    if (!arena)
        return;
    for (block *b = arena->first; b; b = next) {
        next = b->next;
        free(b);
    }
    free(arena);
}

void aq_arena_reset(aq_arena *arena)
{
    for (block *b = arena->first; b; b = b->next) {
        b->used = 0;
        aq_fence_close(b->bytes, b->room);
    }
    arena->now = arena->first;
    arena->spent = false;
}

/* A block with `size` bytes free becomes the present one: a kept one that is large enough, or a new one. */
static bool make_room(aq_arena *arena, size_t size)
{
    size_t room = arena->taken > FIRST_BLOCK ? arena->taken : FIRST_BLOCK;
    block *made;

    while (arena->now && arena->now->next) {
        arena->now = arena->now->next;
        if (arena->now->room - arena->now->used >= size)
            return true;
    }
    if (room < size)
        room = size;
    if (room > arena->ceiling - arena->taken)
        room = arena->ceiling - arena->taken;
    if (room < size)
        return false;
    made = malloc(sizeof *made + room);
    if (!made)
        return false;
    *made = (block){ .room = room };
    aq_fence_close(made->bytes, room);
    if (arena->now)
        arena->now->next = made;
    else
        arena->first = made;
    arena->now = made;
    arena->taken += room;
    return true;
}

/* A piece as it was left by whoever had it before. */
static void *take(aq_arena *arena, size_t size)
{
    size_t asked = size;
    char *piece;

    if (size > SIZE_MAX - ALIGNMENT - AQ_FENCE)
        return NULL;
    size = (size + AQ_FENCE + ALIGNMENT - 1) / ALIGNMENT * ALIGNMENT;
    if (arena->spent)
        return NULL;
    if (!arena->now || arena->now->room - arena->now->used < size) {
        arena->spent = !make_room(arena, size);
        if (arena->spent)
            return NULL;
    }
    piece = (char *)arena->now->bytes + arena->now->used;
    arena->now->used += size;
    aq_fence_open(piece, asked);
    return piece;
}

void *aq_arena_room(aq_arena *arena, size_t size)
{
    return take(arena, size);
}

void *aq_arena_take(aq_arena *arena, size_t size)
{
    void *piece = take(arena, size);

    return piece ? memset(piece, 0, size) : NULL;
}

void *aq_arena_take_array(aq_arena *arena, size_t count, size_t size)
{
    if (size && count > SIZE_MAX / size)
        return NULL;
    return aq_arena_take(arena, count * size);
}

char *aq_arena_text(aq_arena *arena, const char *bytes, size_t length)
{
    char *text = length < SIZE_MAX ? take(arena, length + 1) : NULL;

    if (!text)
        return NULL;
    if (length)
        memcpy(text, bytes, length);
    text[length] = '\0';
    return text;
}

/* Written straight behind what the block has, where it nearly always fits. */
char *aq_arena_format_list(aq_arena *arena, const char *format, va_list values)
{
    block *now = arena->now;
    char *behind = now ? (char *)now->bytes + now->used : NULL, *text;
    size_t room = now ? now->room - now->used : 0;
    va_list again;
    int length;

    aq_fence_open(behind, room);
    va_copy(again, values);
    length = aq_format(behind, room, format, again);
    va_end(again);
    aq_fence_close(behind, room);
    if (length < 0)
        return NULL;
    text = take(arena, (size_t)length + 1);
    if (text && text != behind)
        aq_format(text, (size_t)length + 1, format, values);
    return text;
}

char *aq_arena_format(aq_arena *arena, const char *format, ...)
{
    va_list values;
    char *text;

    va_start(values, format);
    text = aq_arena_format_list(arena, format, values);
    va_end(values);
    return text;
}

void *aq_list_grow(aq_arena *arena, void *at, size_t *count, size_t *room, size_t size)
{
    char *elements, *added;

    /* `at` is the address of a typed pointer; copying its bytes is the one way to read it that aliases nothing. */
    memcpy(&elements, at, sizeof elements);
    if (*count == *room) {
        size_t wanted = *room ? *room * 2 : 4;
        char *grown;

        if (*room > SIZE_MAX / 2 || (size && wanted > SIZE_MAX / size))
            return NULL;
        grown = take(arena, wanted * size);
        if (!grown)
            return NULL;
        if (*count)
            memcpy(grown, elements, *count * size);
        elements = grown;
        memcpy(at, &elements, sizeof elements);
        *room = wanted;
    }
    added = elements + (*count)++ * size;
    return memset(added, 0, size);
}
