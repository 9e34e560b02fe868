#!/usr/bin/env python3
"""Batch answers a dialogue at once, and a pipe in large pieces.

    dialogue.py PROGRAM

A program that asks, waits and asks again gets each answer before its next question, though its questions end nowhere;
half a line is no question yet. A program that pours in a thousand questions is answered in far fewer writes.
"""
import json
import os
import select
import subprocess
import sys

PATIENCE = 2  # seconds for an answer on a busy machine
QUESTION = b'{"job":"convert","quantity":"%d mL","to":"L"}\n'


def answers(child, wanted, patience=PATIENCE):
    """Whole lines that come within `patience` seconds of silence, until there are as many as wanted."""
    text = b""
    while text.count(b"\n") < wanted and select.select([child.stdout], [], [], patience)[0]:
        piece = os.read(child.stdout.fileno(), 1 << 16)
        if not piece:
            break
        text += piece
    return [json.loads(line) for line in text.splitlines()]


def ask(child, text):
    child.stdin.write(text)
    child.stdin.flush()


def begin(program):
    return subprocess.Popen([program, "batch"], stdin=subprocess.PIPE, stdout=subprocess.PIPE)


def check_dialogue(program):
    child = begin(program)
    for amount in (1, 20, 300):
        ask(child, QUESTION % amount)
        assert len(answers(child, 1)) == 1, f"no answer to question {amount} while the next is waited for"
    whole = QUESTION % 4000
    ask(child, whole[:20])
    assert not answers(child, 1, 0.3), "half a question was answered"
    ask(child, whole[20:])
    assert len(answers(child, 1)) == 1, "a question in two pieces was not answered"
    ask(child, whole[:-1])
    child.stdin.close()
    assert len(answers(child, 1)) == 1, "the last line was not answered for want of its end"
    assert child.wait() == 0


def writes_of(child):
    with open(f"/proc/{child.pid}/io") as file:
        return int(dict(line.split(": ") for line in file.read().splitlines())["syscw"])


def check_pipe(program):
    child = begin(program)
    questions = b"".join(QUESTION % amount for amount in range(1, 1001))
    assert len(questions) < 1 << 16, "the questions must fit into a pipe"
    ask(child, questions)
    assert len(answers(child, 1000)) == 1000
    try:
        writes = writes_of(child)
    except OSError:
        print("this system does not count writes: how few they are is not looked at")
        writes = 0
    child.stdin.close()
    assert child.wait() == 0
    assert writes < 100, f"1000 answers came in {writes} writes"


if __name__ == "__main__":
    check_dialogue(sys.argv[1])
    check_pipe(sys.argv[1])
