/* For the program that has its C library inside, linked with --wrap=dlopen: SQLite can load extensions, aliquot never
 * asks it to, and an archive cannot load what was built for another C library. */
#include <stddef.h>

void *__wrap_dlopen(const char *file, int mode);
void *__wrap_dlopen(const char *file, int mode)
{
    (void)file;
    (void)mode;
    return NULL; /* as for a file that is not there */
}
