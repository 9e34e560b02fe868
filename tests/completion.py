#!/usr/bin/env python3
"""Loads the completions into the shells they are for, and checks what they offer.

    completion.py PROGRAM       bash must be there; zsh and fish are tried where they are
"""
import os
import re
import shutil
import subprocess
import sys
import tempfile

# What stands on the line, the last word under the cursor, and all that is offered for it.
CASES = [
    ("aliquot mi", ["mist", "mix"]),
    ("aliquot --v", ["--version"]),
    ("aliquot mix --gallon ", ["us", "imperial"]),
    ("aliquot mix --gallon i", ["imperial"]),
    ("aliquot mix --gallon = i", ["imperial"]),  # as bash takes --gallon=i apart
    ("aliquot mix --gallon =", ["us", "imperial"]),
    ("aliquot mix --ppm 5", ["500"]),
    ("aliquot mix --format ", ["text", "json", "csv", "html", "ics"]),
    ("aliquot mix --heel", ["--heel", "--heel-ec", "--heel-analysis"]),
    ("aliquot mix --volume ", []),
    ("aliquot mix --note -", []),
    ("aliquot meter --compensated ", ["yes", "no"]),
    ("aliquot mix ", ["bench two.yaml", "greenhouse", "site.yaml", "tunnel.yml"]),
    ("aliquot plan s", ["site.yaml"]),
    ("aliquot check ben", ["bench two.yaml"]),
    ("aliquot mix --why s", ["site.yaml"]),
    ("aliquot mix --recipe n", ["notes.txt"]),
    ("aliquot mix --output n", ["notes.txt"]),
    ("aliquot completion ", ["bash", "zsh", "fish"]),
    ("aliquot completion bash ", []),
    ("aliquot new ", ["recipe", "site"]),
    ("aliquot new site --scale E", ["EC"]),
    ("aliquot schema s", ["sheet", "site", "stock", "supplies"]),
    ("aliquot help comp", ["completion"]),
    ("aliquot help aci", ["acid"]),
    ("aliquot nothing ", []),
]
# Names that a site holds, as the shell must have them quoted: its tanks, bottles and lots, and the stages of its recipes.
NAMED = [
    ("aliquot mix site.yaml ", ["Trays", "Mother\\ bed", "Mister", "basil-14"]),
    ("aliquot mix site.yaml M", ["Mother\\ bed", "Mister"]),
    ("aliquot mix site.yaml Mother\\ b", ["Mother\\ bed"]),
    ("aliquot mix site.yaml 'Mo", ["Mother bed"]),
    ("aliquot plan site.yaml --why b", ["basil-14"]),
    ("aliquot mix site.yaml --stage st", ["strike", "stock\\ plants"]),
    ("aliquot mix site.yaml --water ", ["tap", "rain"]),
    ("aliquot log add site.yaml T", ["Trays"]),
    ("aliquot log add site.yaml --lot ", ["basil-14"]),
    ("aliquot log import site.yaml n", ["notes.txt"]),
    ("aliquot mix tunnel.yml ", []),
]
FILES = ["bench two.yaml", "notes.txt", "site.yaml", "tunnel.yml", "greenhouse/inside.yaml"]

BASH = r"""
. "$1"; shift
COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1))
_aliquot
printf '%s\n' "${COMPREPLY[@]}"
complete -p aliquot >/dev/null || echo 'nothing is bound'
"""


# Types the line in a zsh of its own and presses the key; what compadd is given is written down, one a line.
ZSH = r"""
zmodload zsh/zpty
zpty z zsh -f -i
zpty -w z "source $1"
zpty -r -m z line '*ready*'
zpty -w -n z "$2"$'\t'
zpty -r -m z line '*done*'
zpty -d z
"""
ZSH_SETUP = r"""
PROMPT= ; unsetopt zle_bracketed_paste 2>/dev/null; unset zle_bracketed_paste
autoload -Uz compinit; compinit -u -D
source %s
zstyle ':completion:*' insert-tab false
written=%s
compadd() {
    local -a hits
    [[ ${@[1,(i)(-|--)]} == *-(O|A|D)\ * ]] && { builtin compadd "$@"; return }
    builtin compadd -A hits "$@"
    (( $#hits )) && print -rl -- $hits >> $written
    builtin compadd "$@"
}
finish() { print -r -- do''ne }
comppostfuncs=(finish)
print -r -- rea''dy
"""


def words_of(line):
    return re.findall(r"(?:\\.|'[^ ]*|[^ \\])+|(?<= )$", line)


def bash(script, folder, line):
    done = subprocess.run(["bash", "--norc", "-c", BASH, "bash", script, *words_of(line)], cwd=folder,
                          capture_output=True, text=True, timeout=20)
    return [word for word in done.stdout.splitlines() if word], done.stderr


def options(program, name):
    text = subprocess.run([program, "help", name], capture_output=True, text=True).stdout
    return re.findall(r"^  (--[a-z-]+)", text, re.M)


def check_bash(program, script, folder):
    faults = []
    for line, wanted in CASES + NAMED:
        got, err = bash(script, folder, line)
        if sorted(got) != sorted(wanted) or err:
            faults.append("bash: %r offers %s, not %s %s" % (line, got, wanted, err))
    verbs, _ = bash(script, folder, "aliquot ")
    for name in verbs:
        got, err = bash(script, folder, "aliquot %s -" % name)
        if not name.startswith("-") and (sorted(got) != sorted(options(program, name)) or err):
            faults.append("bash: aliquot %s offers %s, and its help has %s" % (name, got, options(program, name)))
    return faults, len(verbs)


def check_fish(script, folder):
    faults = []
    for line, wanted in CASES:
        if " =" in line or not wanted or any("." in word for word in wanted) or "--v" in line:
            continue  # fish has its own ways with signs and files
        done = subprocess.run(["fish", "--no-config", "-c", "source $argv[1]; complete -C $argv[2]", script, line],
                              cwd=folder, capture_output=True, text=True, timeout=20)
        got = [word.split("\t")[0] for word in done.stdout.splitlines()]
        if not set(wanted) <= set(got) or done.stderr:
            faults.append("fish: %r offers %s, not %s %s" % (line, got, wanted, done.stderr))
    return faults


def check_zsh(script, folder):
    done = subprocess.run(["zsh", "-f", "-n", script], capture_output=True, text=True, timeout=20)
    if done.returncode or done.stderr:
        return ["zsh: " + done.stderr]
    faults = []
    setup, written = os.path.join(os.path.dirname(script), "setup.zsh"), os.path.join(os.path.dirname(script), "offered")
    with open(setup, "w") as file:
        file.write(ZSH_SETUP % (script, written))
    for line, wanted in CASES[:1] + CASES[2:4] + [("aliquot completion ", ["bash", "zsh", "fish"])] + NAMED[:3] + NAMED[4:8]:
        open(written, "w").close()
        subprocess.run(["zsh", "-f", "-c", ZSH, "zsh", setup, line], cwd=folder, stdin=subprocess.DEVNULL,
                       capture_output=True, timeout=30, env={**os.environ, "TERM": "dumb"})
        with open(written) as file:
            got = file.read().splitlines()
        if sorted(got) != sorted(wanted):
            faults.append("zsh: %r offers %s, not %s" % (line, got, wanted))
    return faults


def main(program):
    program = os.path.abspath(program)
    os.environ["PATH"] = os.path.dirname(program) + os.pathsep + os.environ["PATH"]
    tried = ["bash"]
    with tempfile.TemporaryDirectory() as work:
        folder = os.path.join(work, "here")
        for name in FILES:
            os.makedirs(os.path.dirname(os.path.join(folder, name)), exist_ok=True)
            open(os.path.join(folder, name), "w").close()
        examples = os.path.join(os.path.dirname(os.path.dirname(os.path.abspath(__file__))), "examples", "fernhollow")
        shutil.copy(os.path.join(examples, "two-part-leaf.yaml"), os.path.join(folder, "greenhouse", "inside.yaml"))
        with open(os.path.join(examples, "site.yaml")) as site, open(os.path.join(folder, "site.yaml"), "w") as file:
            file.write(site.read().replace("two-part-leaf.yaml", "greenhouse/inside.yaml"))
        scripts = {}
        for shell in ["bash", "zsh", "fish"]:
            scripts[shell] = os.path.join(work, "completion." + shell)
            with open(scripts[shell], "w") as file:
                subprocess.run([program, "completion", shell], stdout=file, check=True)
        faults, verbs = check_bash(program, scripts["bash"], folder)
        if shutil.which("fish"):
            tried.append("fish")
            faults += check_fish(scripts["fish"], folder)
        if shutil.which("zsh"):
            tried.append("zsh")
            faults += check_zsh(scripts["zsh"], folder)
    for fault in faults:
        print(fault)
    print("%s: %d lines, %d commands, %d faults" % (", ".join(tried), len(CASES), verbs, len(faults)))
    return 1 if faults or verbs < 8 else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
