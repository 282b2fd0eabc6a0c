"""Journals, one a line, through `lentic batch` as columns of a table: mapInPandas.

spark-submit frames.py LENTIC JOURNALS ANSWERS DAY
"""

import subprocess
import sys

import pandas
from pyspark.sql import SparkSession

lentic, journals, answers, day = sys.argv[1:]
# Spark has a task on each core, so each program takes one.
batch = [lentic, "batch", "--cores", "1", "--on", day]


def answered(tables):
    """The answer beside each journal."""
    for table in tables:
        lines = "".join(f"{line}\n" for line in table["value"])
        done = subprocess.run(batch, input=lines.encode(), stdout=subprocess.PIPE, check=True)
        # Only a line feed ends a line: text may hold other characters that `splitlines` would split at.
        yield pandas.DataFrame(
            {"journal": table["value"], "answer": done.stdout.decode().split("\n")[:-1]}
        )


spark = SparkSession.builder.appName("lentic").getOrCreate()
table = spark.read.text(journals)
table.mapInPandas(answered, "journal string, answer string").write.parquet(answers)
spark.stop()
