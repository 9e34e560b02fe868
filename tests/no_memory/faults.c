#include "faults.h"

#include <string.h>

void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__real_realloc(void *block, size_t size);
void __real_free(void *block);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__wrap_realloc(void *block, size_t size);
char *__wrap_strdup(const char *text);
void __wrap_free(void *block);

static long until = -1, alive;
static int reached;

void fail_allocation(long nth)
{
    until = nth;
    reached = 0;
}

int failure_reached(void)
{
    return reached;
}

long blocks_alive(void)
{
    return alive;
}

static int fails(void)
{
    if (until < 0)
        return 0;
    if (until-- > 0)
        return 0;
    reached = 1;
    return 1;
}

void *__wrap_malloc(size_t size)
{
    void *block = fails() ? NULL : __real_malloc(size);

    alive += block != NULL;
    return block;
}

void *__wrap_calloc(size_t count, size_t size)
{
    void *block = fails() ? NULL : __real_calloc(count, size);

    alive += block != NULL;
    return block;
}

void *__wrap_realloc(void *block, size_t size)
{
    void *moved = fails() ? NULL : __real_realloc(block, size);

    alive += moved && !block;
    return moved;
}

/* libyaml copies texts with it. */
char *__wrap_strdup(const char *text)
{
    char *copy = __wrap_malloc(strlen(text) + 1);

    return copy ? strcpy(copy, text) : NULL;
}

void __wrap_free(void *block)
{
    alive -= block != NULL;
    __real_free(block);
}
