"""Tiny made-up instances in the formats of the public sets, with what is to be read and found."""

from __future__ import annotations

SINGLE_MODE = """\
************************************************************************
jobs (incl. supersource/sink ):  4
RESOURCES
  - renewable                 :  2   R
************************************************************************
PRECEDENCE RELATIONS:
jobnr.    #modes  #successors   successors
   1        1          2           2   3
   2        1          1           4
   3        1          1           4
   4        1          0
************************************************************************
REQUESTS/DURATIONS:
jobnr. mode duration  R 1  R 2
------------------------------------------------------------------------
  1      1     0       0    0
  2      1     3       2    0
  3      1     4       2    1
  4      1     0       0    0
************************************************************************
RESOURCEAVAILABILITIES:
  R 1  R 2
    3    1
************************************************************************
"""

# Job 2 is quick at 5 of the stock, or slow at 1; job 3 needs 4, so that a stock of 5 leaves only the slow way.
SEVERAL_MODES = """\
************************************************************************
PRECEDENCE RELATIONS:
jobnr.    #modes  #successors   successors
   1        1          1           2
   2        2          1           3
   3        1          1           4
   4        1          0
************************************************************************
REQUESTS/DURATIONS:
jobnr. mode duration  R 1  N 1
------------------------------------------------------------------------
  1      1     0       0    0
  2      1     2       1    5
         2     6       1    1
  3      1     3       1    4
  4      1     0       0    0
************************************************************************
RESOURCEAVAILABILITIES:
  R 1  N 1
    1    5
************************************************************************
"""

# Activity 2 starts 5 or more after the start of 1, and 1 at most 7 before it: [-7] on the arc back.
LAGS = """\
2\t1\t0\t0
0\t1\t1\t1\t[0]
1\t1\t2\t2\t3\t[5]\t[3]
2\t1\t2\t1\t3\t[-7]\t[4]
3\t1\t0
0\t1\t0\t0
1\t1\t3\t1
2\t1\t4\t1
3\t1\t0\t0
1
"""

# Two jobs of two operations and one on two machines; the second operation of the first job only on machine 1.
FLEXIBLE = """\
2
2
2\t1\t
3\t4\t
0\t2\t
3\t9\t

"""
