"""Mean, spread and trend of each electrode, one pass an electrode: python plain-script.py FILE. What a careful person writes in an hour."""
import sys

import pandas
import pymannkendall
from scipy.stats import theilslopes

table = pandas.read_csv(sys.argv[1])
surveys = table.groupby("survey_ref", sort=False).agg(
    electrode_id=("electrode_id", "first"), tested_at=("tested_at", "first"), ohm=("resistance_ohm", "mean")
)
surveys["day"] = pandas.to_datetime(surveys["tested_at"]).astype("int64") / 86_400e9
count = 0
for _, tests in surveys.groupby("electrode_id", sort=False):
    tests = tests.sort_values("day")
    ohm = tests["ohm"].to_numpy()
    mean, spread = ohm.mean(), ohm.std()
    slope = theilslopes(ohm, tests["day"].to_numpy())
    trend = pymannkendall.original_test(ohm)
    count += len(tests)
print(count)
