/* Files in and out. What comes in has a ceiling; what goes out is written beside its place and moved there whole. */
#ifndef CLI_FILES_H
#define CLI_FILES_H

#include "aliquot.h"

/* The whole of a file, or of standard input for "-", into `arena`. `name` is what complaints call it; it outlives the
 * file. Refused, each with its own words: a directory, more than 1 MiB, a NUL byte, nothing at all. */
aq_status cli_file_read(aq_file *out, aq_arena *arena, const char *path, const char *name, aq_error *err);

/* The same, of a file of up to `most` bytes. */
aq_status cli_file_read_most(aq_file *out, aq_arena *arena, const char *path, const char *name, size_t most,
                             aq_error *err);

/* Writes `path` anew: beside it first, then to the disk, then renamed. A reader sees the old file or the new one. */
aq_status cli_file_write(const char *path, const char *bytes, size_t length, aq_error *err);

/* Writes a file that is not there yet: AQ_CONFLICT where it is, and it stays as it was. */
aq_status cli_file_begin(const char *path, const char *bytes, size_t length, aq_error *err);

/* Standard output, with every byte accounted for. */
aq_status cli_print(const char *bytes, size_t length, aq_error *err);

#endif
