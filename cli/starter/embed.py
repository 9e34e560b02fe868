"""Writes the starter documents as arrays of lines in C: embed.py OUT FILE.yaml..."""
import os
import sys

QUOTED = {ord("\\"): "\\\\", ord('"'): '\\"'}


def main(out, names):
    with open(out, "w", encoding="ascii") as to:
        to.write('#include "starter.h"\n')
        for name in names:
            with open(name, encoding="ascii") as file:
                lines = file.read().splitlines()
            to.write("\nconst char *const cli_starter_%s[] = {\n" % os.path.splitext(os.path.basename(name))[0])
            to.writelines('    "%s",\n' % line.translate(QUOTED) for line in lines)
            to.write("    NULL,\n};\n")


main(sys.argv[1], sys.argv[2:])
