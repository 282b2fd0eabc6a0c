"""Journals, one a line, through `lentic batch` as a filter of every partition: RDD.pipe.

spark-submit pipe.py LENTIC JOURNALS ANSWERS DAY
"""

import sys

from pyspark.sql import SparkSession

lentic, journals, answers, day = sys.argv[1:]
spark = SparkSession.builder.appName("lentic").getOrCreate()
lines = spark.sparkContext.textFile(journals)
# Spark has a task on each core, so each program takes one.
answered = lines.pipe(f"{lentic} batch --cores 1 --on {day}", checkCode=True)
answered.saveAsTextFile(answers)
spark.stop()
