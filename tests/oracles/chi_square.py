"""Outside check of chi-square's upper tail: scipy (BSD-3) against the shares that a test of the crate writes down.

Usage: chi_square.py [TABLE]
"""
import pathlib
import sys

from scipy.stats import chi2

path = pathlib.Path(sys.argv[1]) if len(sys.argv) > 1 else pathlib.Path(__file__).with_name("chi_square.txt")
rows = [line.split() for line in path.read_text().splitlines()]
assert len(rows) == 180, len(rows)
worst = 0.0
for degrees, x, share in rows:
    expected = chi2.sf(float(x), int(degrees))
    worst = max(worst, abs(float(share) - expected) / expected)
assert worst < 1e-10, worst
print(f"chi-square: {len(rows)} upper tails agree with scipy, largest relative difference {worst:.1e}")
