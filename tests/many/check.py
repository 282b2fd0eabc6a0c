"""320 journals in partitioned files through PySpark on this machine, by both ways, against `lentic batch` alone.

python check.py LENTIC STORIES
"""

import json
import os
import pathlib
import subprocess
import sys
import tempfile

import pandas

FILES, LINES = 8, 40
DAY = "2026-09-25"
here = pathlib.Path(__file__).parent
lentic, stories = sys.argv[1], pathlib.Path(sys.argv[2])
local = {"SPARK_LOCAL_IP": "127.0.0.1", "PYSPARK_PYTHON": sys.executable}


def journals():
    """Stories under names of their own; in each file one line is broken."""
    texts = [path.read_text("utf-8") for path in sorted(stories.glob("story-*.json"))]
    assert len(texts) > 30
    for number in range(FILES * LINES):
        story = json.loads(texts[number % len(texts)])
        story["name"] = f"Tank {number}"
        line = json.dumps(story, ensure_ascii=False)
        yield line[:-9] if number % LINES == number // LINES else line


def spark(script, source, answers):
    words = [sys.executable, here / script, lentic, source, answers, DAY]
    subprocess.run(words, check=True, env=os.environ | local, stderr=subprocess.DEVNULL)


def told(line):
    """An answer; of one that tells mistakes not the line, which is that of its part of the input."""
    answer = json.loads(line)
    return json.dumps(answer["mistakes"]) if answer["format"] == "lentic-mistakes/1" else line


def number(line):
    """The number of the journal that an answer is to, or nothing where the journal could not be read."""
    return int(json.loads(line).get("tank", "Tank -1").removeprefix("Tank "))


def same(found, expected, way):
    """The same answers, whatever order Spark took the files in."""
    assert sorted(map(told, found)) == sorted(map(told, expected)), f"{way}: other answers"
    print(f"{way}: {len(found)} journals answered alike")


with tempfile.TemporaryDirectory() as folder:
    folder = pathlib.Path(folder)
    source = folder / "journals"
    source.mkdir()
    lines = list(journals())
    for part in range(FILES):
        text = "".join(f"{line}\n" for line in lines[part * LINES : (part + 1) * LINES])
        (source / f"part-{part}.ndjson").write_text(text, "utf-8")
    whole = "".join(f"{line}\n" for line in lines).encode()
    batch = [lentic, "batch", "--on", DAY]
    done = subprocess.run(batch, input=whole, stdout=subprocess.PIPE, stderr=subprocess.PIPE, check=True)
    expected = done.stdout.decode().split("\n")[:-1]
    assert f"{FILES * LINES} lines: {FILES * LINES - FILES} answered, {FILES} not." in done.stderr.decode()

    spark("pipe.py", source, folder / "piped")
    piped = []
    for part in (folder / "piped").glob("part-*"):
        answers = part.read_text("utf-8").split("\n")[:-1]
        numbers = [number(answer) for answer in answers if number(answer) >= 0]
        assert numbers == sorted(numbers), "RDD.pipe: a partition out of order"
        piped += answers
    same(piped, expected, "RDD.pipe")

    spark("frames.py", source, folder / "framed")
    table = pandas.read_parquet(folder / "framed")
    # Rows come in no order of files, but each beside its journal.
    beside = dict(zip(table["journal"], table["answer"]))
    assert len(table) == len(beside) == len(lines)
    for line, answer in zip(lines, expected):
        assert told(beside[line]) == told(answer), "mapInPandas: an answer beside another journal"
    same(list(table["answer"]), expected, "mapInPandas")
