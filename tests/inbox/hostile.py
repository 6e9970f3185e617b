"""Files that no puzzle is in, from people who mean no harm and from people who do."""

from __future__ import annotations

_BOARD = 'givens = """\n' + ". . . .\n" * 4 + '"""\n'
_HEAD = "format = 1\nsize = 4\n" + _BOARD

HOSTILE: tuple[bytes, ...] = (
    b"",
    b"\x00\x01\x02" * 500,
    b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 40,
    b'format = 1\nsize = 4\ntitle = "\xff\xfe"\n',
    b"format = 1\nsize = ",
    b"format = 7\nsize = 9\n",
    b"format = 1\nsize = 99999999999999999999\n",
    b"format = 1\nsize = -4\n",
    b"format = 1\nsize = 4.5\n",
    b"x = " + b"[" * 5000 + b"]" * 5000,
    b"a" * 300_000,
    b"format = 1\nsize = 4\na" + b".a" * 3000 + b" = 1\n",
    (_HEAD + 'colour = "red"\n').encode(),
    (_HEAD + "colour = 1\n" * 2).encode(),
    (_HEAD + 'title = "\\u001b[2J\\u001b]0;owned\\u0007"\n').encode(),
    (_HEAD + 'title = "<script>alert(1)</script>"\n').encode(),
    (_HEAD + 'setter = "\\u202eretsub"\n').encode(),
    (_HEAD + '[[clue]]\nrule = "arow"\ncells = "r1c1 r1c2"\n').encode(),
    (_HEAD + '[[clue]]\nrule = "killer-cage"\ncells = "r1c1 r9c9"\nvalue = 5\n').encode(),
    (_HEAD + '[[clue]]\nrule = "killer-cage"\ncells = "r1c1 r1c2"\nvalue = 500\n').encode(),
    (_HEAD + '[[clue]]\nrule = "thermometer"\ncells = "r1c1 r4c4"\n').encode(),
    (_HEAD + '[[clue]]\nrule = "killer-cage"\ncells = "r1c1"\n' * 2000).encode(),
    (_HEAD + 'rules = ["no-such-rule"]\n').encode(),
    (_HEAD + "rules = [" + '"anti-knight",' * 5000 + "]\n").encode(),
    b'format = 1\nsize = 4\ngivens = """\n1 2 3\n"""\n',
    b'format = 1\nsize = 4\ngivens = """\n9 . . .\n. . . .\n. . . .\n. . . .\n"""\n',
    b"Hello, please find my puzzle below. It is a nice one!\n",
    b'{"format": 1, "size": 4}\n',
    b"<?xml version='1.0'?><!DOCTYPE a [<!ENTITY b 'c'>]><a>&b;</a>\n",
    b'=HYPERLINK("http://example.invalid")\n',
)
