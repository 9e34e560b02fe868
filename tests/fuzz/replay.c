/* Gives a fuzz target every kept input, in the ordinary test run: no fuzzer is needed.
 *
 *     replay_TARGET FOLDER...      exits 1 where a folder has no input; a check that fails stops the program */
#include "fuzz.h"

#include <dirent.h>

static void replay(const char *name)
{
    FILE *file = fopen(name, "rb");
    static uint8_t bytes[1 << 21];
    size_t length;

    must(file != NULL);
    length = fread(bytes, 1, sizeof bytes, file);
    fclose(file);
    LLVMFuzzerTestOneInput(bytes, length);
}

static size_t replay_folder(const char *folder)
{
    DIR *open = opendir(folder);
    size_t count = 0;

    must(open != NULL);
    for (struct dirent *entry; (entry = readdir(open));) {
        char name[4096];

        if (entry->d_name[0] == '.')
            continue;
        snprintf(name, sizeof name, "%s/%s", folder, entry->d_name);
        if (getenv("FUZZ_NAMES"))
            fprintf(stderr, "%s\n", name); /* the last one named is the one that stopped the program */
        replay(name);
        count++;
    }
    closedir(open);
    return count;
}

int main(int count, char **words)
{
    int status = count > 1 ? 0 : 1;

    for (int i = 1; i < count; i++) {
        size_t inputs = replay_folder(words[i]);

        printf("%zu inputs of %s\n", inputs, words[i]);
        if (inputs == 0)
            status = 1;
    }
    return status;
}
