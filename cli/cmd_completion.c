/* `aliquot completion SHELL`: what bash, zsh or fish needs to complete aliquot's words, made from the same rows as the
 * options, so that a new option is completed as soon as it is read.
 *
 * A first word is a job or a command. After it come a site (a file), options, and after an option with few answers
 * those answers; after one that names a file, files; behind a site, the names that it holds, which the program is asked
 * for. A value that is only known to the grower completes to nothing. */
#include <string.h>

#include "commands.h"
#include "options.h"

const char *const cli_completion_words[] = { "bash", "zsh", "fish", NULL };

/* ---- what there is to complete ---- */

/* A job or a command. */
typedef struct {
    const char *name, *does;
    const aq_shape *asks;     /* NULL: no options */
    const char *const *words; /* its first word; NULL: any */
    bool job, jobs, files;    /* is one; its first word may be one; its words are files */
} verb;

static size_t count_verbs(void)
{
    size_t jobs, commands;

    aq_job_table(&jobs);
    cli_command_table(&commands);
    return jobs + commands;
}

static verb verb_at(size_t at)
{
    size_t jobs, commands;
    const aq_job *const *job = aq_job_table(&jobs);
    const cli_command *command = cli_command_table(&commands);

    if (at < jobs)
        return (verb){ job[at]->name, job[at]->does, job[at]->asks, NULL, true, false, true };
    command += at - jobs;
    return (verb){ command->name, command->does, command->asks, command->words,
                   false,         command->jobs, command->files };
}

/* One option, be it a row of the job or one of the program's own. */
typedef struct {
    const char *key, *help;
    const aq_field *row; /* NULL: the program's own */
    bool value;          /* one follows */
    bool many;
    bool file; /* the value is one */
} option;

static bool names_file(const char *key)
{
    return strcmp(key, "recipe") == 0 || strcmp(key, "output") == 0 || strcmp(key, "replaces") == 0 ||
           strcmp(key, "log") == 0;
}

/* The `at`th option; false where there are no more. */
static bool option_at(option *out, const verb *of, size_t at)
{
    size_t rows = of->asks ? of->asks->count : 0, count;
    const cli_general *general = cli_general_options(&count);

    if (at < rows) {
        const aq_field *row = &of->asks->fields[at];

        *out = (option){ row->key, row->help, row, true, row->many, names_file(row->key) };
        return true;
    }
    if (!of->job || at - rows >= count)
        return false;
    general += at - rows;
    *out = (option){ general->key, general->help,           NULL, general->example != NULL,
                     false,        names_file(general->key) };
    return true;
}

static void add_words(aq_buffer *out, const char *const *words)
{
    for (size_t i = 0; words[i]; i++)
        aq_buffer_format(out, "%s%s", i ? " " : "", words[i]);
}

/* "us imperial": the answers that an option can have, where they are few. */
static void add_answers(aq_buffer *out, const option *of)
{
    size_t count;
    const aq_renderer *const renderers = aq_renderer_table(&count);

    if (of->row && of->row->read == AQ_READ_CHOICE)
        add_words(out, of->row->choices);
    else if (of->row && of->row->read == AQ_READ_YES_NO)
        aq_buffer_text(out, "yes no");
    else if (strcmp(of->key, "format") == 0)
        for (size_t i = 0; i < count; i++)
            aq_buffer_format(out, "%s%s", i ? " " : "", renderers[i].name);
}

static bool has_answers(const option *of)
{
    return of->row ? of->row->read == AQ_READ_CHOICE || of->row->read == AQ_READ_YES_NO
                   : strcmp(of->key, "format") == 0;
}

static void add_jobs(aq_buffer *out)
{
    size_t count;
    const aq_job *const *jobs = aq_job_table(&count);

    for (size_t i = 0; i < count; i++)
        aq_buffer_format(out, " %s", jobs[i]->name);
}

/* What the word after the verb can be, as far as it is not a file. */
static void add_first_words(aq_buffer *out, const verb *of)
{
    if (of->words)
        add_words(out, of->words);
    if (of->jobs)
        add_jobs(out);
    if (strcmp(of->name, "help") == 0)
        for (size_t i = 0; i < count_verbs(); i++)
            if (!verb_at(i).job)
                aq_buffer_format(out, " %s", verb_at(i).name);
}

/* Text inside single quotes of a shell; `special` are bytes that want a backslash. */
static void add_quoted(aq_buffer *out, const char *text, const char *special, const char *quote)
{
    for (; *text; text++) {
        if (*text == '\'') {
            aq_buffer_text(out, quote);
            continue;
        }
        if (strchr(special, *text))
            aq_buffer_char(out, '\\');
        aq_buffer_char(out, *text);
    }
}

/* A log's first word says what to do with it; the site comes after. */
static bool names_site_second(const verb *of)
{
    return strcmp(of->name, "log") == 0;
}

/* ---- bash ---- */

static const char bash_head[] =
    "# Completion of aliquot for bash, written by `aliquot completion bash`.\n"
    "_aliquot_files() { # all | documents\n"
    "    compopt -o filenames 2>/dev/null\n"
    "    if [ \"$1\" = all ]; then\n"
    "        mapfile -t COMPREPLY < <(compgen -f -- \"$cur\")\n"
    "    else\n"
    "        mapfile -t COMPREPLY < <(compgen -d -- \"$cur\"; compgen -f -X '!*.yaml' -- \"$cur\";\n"
    "                                 compgen -f -X '!*.yml' -- \"$cur\")\n"
    "    fi\n"
    "}\n"
    "\n"
    "_aliquot_names() { # name | stage | water | reservoir | lot: of the site on the line\n"
    "    local site='' name typed=${cur//\\\\/} i\n"
    "\n"
    "    for ((i = 2; i < COMP_CWORD; i++)); do\n"
    "        [[ ${COMP_WORDS[i]} == *.yaml || ${COMP_WORDS[i]} == *.yml ]] && site=${COMP_WORDS[i]} && "
    "break\n"
    "    done\n"
    "    [ -f \"$site\" ] || return 1\n"
    "    typed=${typed#[\\\"\\']}\n"
    "    while IFS= read -r name; do\n"
    "        [[ $name == \"$typed\"* ]] || continue\n"
    "        [[ $cur == [\\\"\\']* ]] || name=$(printf %q \"$name\")\n"
    "        COMPREPLY+=(\"$name\")\n"
    "    done < <(\"${COMP_WORDS[0]}\" completion \"$1\" \"$site\" 2>/dev/null)\n"
    "}\n"
    "\n"
    "_aliquot() {\n"
    "    local names='' cur=${COMP_WORDS[COMP_CWORD]} prev=${COMP_WORDS[COMP_CWORD-1]} options='' words='' "
    "files=''\n"
    "\n"
    "    COMPREPLY=()\n"
    "    # bash takes --option=value apart at the sign\n"
    "    if [ \"$cur\" = = ]; then\n"
    "        cur=\n"
    "    elif [ \"$prev\" = = ]; then\n"
    "        prev=${COMP_WORDS[COMP_CWORD-2]}\n"
    "    fi\n";

static const char bash_tail[] = "    esac\n"
                                "    if [ -n \"$words\" ]; then\n"
                                "        mapfile -t COMPREPLY < <(compgen -W \"$words\" -- \"$cur\")\n"
                                "    elif [ -n \"$names\" ]; then\n"
                                "        _aliquot_names \"$names\"\n"
                                "    elif [ \"$files\" = all ]; then\n"
                                "        _aliquot_files all\n"
                                "    elif [[ $cur == -* ]]; then\n"
                                "        mapfile -t COMPREPLY < <(compgen -W \"$options\" -- \"$cur\")\n"
                                "    elif [ \"$files\" = site ]; then\n"
                                "        _aliquot_names name || _aliquot_files documents\n"
                                "    elif [ -n \"$files\" ]; then\n"
                                "        _aliquot_files documents\n"
                                "    fi\n"
                                "}\n"
                                "complete -F _aliquot aliquot\n";

/* The options after which something of their own follows, each with what that is. */
static void bash_values(aq_buffer *out, const verb *of)
{
    option each;

    for (size_t i = 0; option_at(&each, of, i); i++) {
        if (has_answers(&each)) {
            aq_buffer_format(out, "        --%s) words='", each.key);
            add_answers(out, &each);
            aq_buffer_text(out, "' ;;\n");
        } else if (each.file) {
            aq_buffer_format(out, "        --%s) files=all ;;\n", each.key);
        } else if (cli_site_has_names(each.key)) {
            aq_buffer_format(out, "        --%s) names=%s ;;\n", each.key, each.key);
        } else if (!each.value) {
            aq_buffer_format(out, "        --%s) files=%s ;;\n", each.key, of->job ? "site" : "documents");
        }
    }
    aq_buffer_text(out, "        --*) return ;;\n");
}

static void bash_verb(aq_buffer *out, const verb *of)
{
    option each;

    aq_buffer_format(out, "    %s)\n        options='", of->name);
    for (size_t i = 0; option_at(&each, of, i); i++)
        aq_buffer_format(out, "%s--%s", i ? " " : "", each.key);
    aq_buffer_text(out, "'\n        case $prev in\n");
    bash_values(out, of);
    aq_buffer_text(out, "        *) ");
    if (of->words || of->jobs) {
        aq_buffer_text(out, "[[ $COMP_CWORD -gt 2 || $cur == -* ]] || words='");
        add_first_words(out, of);
        aq_buffer_text(out, names_site_second(of)
                                ? "'\n           [[ ${COMP_WORDS[2]} == import ]] && files=all || "
                                  "files=site ;;\n"
                                : "' ;;\n");
    } else {
        aq_buffer_text(out, of->job ? "files=site ;;\n" : of->files ? "files=documents ;;\n" : ";;\n");
    }
    aq_buffer_text(out, "        esac ;;\n");
}

static void bash(aq_buffer *out)
{
    aq_buffer_text(out, bash_head);
    aq_buffer_text(out, "    if [ \"$COMP_CWORD\" -eq 1 ]; then\n        words='");
    for (size_t i = 0; i < count_verbs(); i++)
        aq_buffer_format(out, "%s ", verb_at(i).name);
    aq_buffer_text(out, "--help --version'\n        mapfile -t COMPREPLY < <(compgen -W \"$words\" -- "
                        "\"$cur\")\n        return\n    fi\n    case ${COMP_WORDS[1]} in\n");
    for (size_t i = 0; i < count_verbs(); i++) {
        verb of = verb_at(i);

        bash_verb(out, &of);
    }
    aq_buffer_text(out, bash_tail);
}

/* ---- zsh ---- */

static void zsh_option(aq_buffer *out, const option *of)
{
    aq_buffer_format(out, "            '%s--%s%s[", of->many ? "*" : "", of->key, of->value ? "=" : "");
    add_quoted(out, of->help ? of->help : "", "[]\\", "'\\''");
    aq_buffer_text(out, "]");
    if (has_answers(of)) {
        aq_buffer_text(out, ":answer:(");
        add_answers(out, of);
        aq_buffer_text(out, ")");
    } else if (of->value) {
        if (cli_site_has_names(of->key))
            aq_buffer_format(out, ":value: _aliquot_names %s", of->key);
        else
            aq_buffer_text(out, of->file ? ":file:_files" : ":value: ");
    }
    aq_buffer_text(out, "' \\\n");
}

static void zsh_verb(aq_buffer *out, const verb *of)
{
    option each;

    aq_buffer_format(out, "    %s)\n        _arguments \\\n", of->name);
    for (size_t i = 0; option_at(&each, of, i); i++)
        zsh_option(out, &each);
    if (of->words || of->jobs) {
        aq_buffer_text(out, "            '1:word:(");
        add_first_words(out, of);
        aq_buffer_text(out, names_site_second(of)
                                ? ")' '2:site:_files -g \"*.(yaml|yml)\"' '3:name: _aliquot_names name' ;;\n"
                                : ")' ;;\n");
    } else {
        aq_buffer_text(
            out, of->job
                     ? "            '1:site:_files -g \"*.(yaml|yml)\"' '2:name: _aliquot_names name' ;;\n"
                     : "            '*:file:_files -g \"*.(yaml|yml)\"' ;;\n");
    }
}

static void zsh(aq_buffer *out)
{
    aq_buffer_text(
        out, "#compdef aliquot\n# Completion of aliquot for zsh, written by `aliquot completion "
             "zsh`.\n_aliquot_names() { # name | stage | water | reservoir | lot: of the site on the line\n"
             "    local site=${${(M)words:#*.(yaml|yml)}[1]}\n    local -a names\n"
             "    [[ -f $site ]] || return 1\n"
             "    names=(\"${(@f)$(aliquot completion $1 $site 2>/dev/null)}\")\n"
             "    names=(${names:#})\n    compadd -a names\n}\n\n_aliquot() {\n    local -a commands\n    "
             "commands=(\n");
    for (size_t i = 0; i < count_verbs(); i++) {
        aq_buffer_format(out, "        '%s:", verb_at(i).name);
        add_quoted(out, verb_at(i).does, "\\", "'\\''");
        aq_buffer_text(out, "'\n");
    }
    aq_buffer_text(out, "    )\n    if (( CURRENT == 2 )); then\n        _describe command commands\n"
                        "        return\n    fi\n    shift words\n    (( CURRENT-- ))\n"
                        "    case $words[1] in\n");
    for (size_t i = 0; i < count_verbs(); i++) {
        verb of = verb_at(i);

        zsh_verb(out, &of);
    }
    aq_buffer_text(out, "    esac\n}\nif [ \"$funcstack[1]\" = _aliquot ]; then\n    _aliquot \"$@\"\nelse\n"
                        "    compdef _aliquot aliquot\nfi\n");
}

/* ---- fish ---- */

static void fish_option(aq_buffer *out, const char *name, const option *of)
{
    aq_buffer_format(out, "complete -c aliquot -n '__aliquot_does %s' -l %s", name, of->key);
    if (has_answers(of)) {
        aq_buffer_text(out, " -x -a '");
        add_answers(out, of);
        aq_buffer_text(out, "'");
    } else if (of->value) {
        if (cli_site_has_names(of->key))
            aq_buffer_format(out, " -x -a '(__aliquot_names %s)'", of->key);
        else
            aq_buffer_text(out, of->file ? " -r -F" : " -x");
    }
    aq_buffer_text(out, " -d '");
    add_quoted(out, of->help ? of->help : "", "\\", "\\'");
    aq_buffer_text(out, "'\n");
}

static void fish_verb(aq_buffer *out, const verb *of)
{
    option each;

    aq_buffer_format(out, "complete -c aliquot -n '__aliquot_begins' -a %s -d '", of->name);
    add_quoted(out, of->does, "\\", "\\'");
    aq_buffer_text(out, "'\n");
    if (of->files)
        aq_buffer_format(out,
                         "complete -c aliquot -n '__aliquot_does %s' -a '(__fish_complete_suffix .yaml)'\n",
                         of->name);
    if (of->job || names_site_second(of))
        aq_buffer_format(out, "complete -c aliquot -n '__aliquot_does %s' -a '(__aliquot_names name)'\n",
                         of->name);
    if (of->words || of->jobs) {
        aq_buffer_format(out, "complete -c aliquot -n '__aliquot_does %s' -a '", of->name);
        add_first_words(out, of);
        aq_buffer_text(out, "'\n");
    }
    for (size_t i = 0; option_at(&each, of, i); i++)
        fish_option(out, of->name, &each);
}

static void fish(aq_buffer *out)
{
    aq_buffer_text(out,
                   "# Completion of aliquot for fish, written by `aliquot completion fish`.\n"
                   "function __aliquot_begins\n    test (count (commandline -opc)) -eq 1\nend\n"
                   "function __aliquot_does\n    set -l words (commandline -opc)\n"
                   "    test (count $words) -gt 1; and test $words[2] = $argv[1]\nend\n"
                   "function __aliquot_names # of the site on the line\n"
                   "    set -l sites (commandline -opc | string match -r '.*\\.ya?ml$')\n"
                   "    test -f \"$sites[1]\"; and aliquot completion $argv[1] $sites[1] 2>/dev/null\nend\n"
                   "complete -c aliquot -f\n");
    for (size_t i = 0; i < count_verbs(); i++) {
        verb of = verb_at(i);

        fish_verb(out, &of);
    }
}

/* ---- the command ---- */

static const struct {
    const char *name;
    void (*write)(aq_buffer *out);
} shells[] = { { "bash", bash }, { "zsh", zsh }, { "fish", fish } };

int cli_completion(int count, char **words, cli_report *report)
{
    aq_buffer bytes = { .ceiling = 0 };

    if (count == 2 && cli_site_has_names(words[0]))
        return cli_site_names(words[0], words[1], report);
    for (size_t i = 0; count == 1 && i < sizeof shells / sizeof *shells; i++)
        if (strcmp(shells[i].name, words[0]) == 0)
            shells[i].write(&bytes);
    if (bytes.length || bytes.failed)
        return cli_command_print(&bytes, report);
    cli_report_say(report, "which shell? aliquot completion bash, zsh or fish");
    return CLI_ASKED_WRONGLY;
}
