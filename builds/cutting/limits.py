"""How large a job may be. Written down once; the reader names them in its sentences.

The bounds keep time and memory in hand and are far above what a rescue cuts in a year.
"""

from decimal import Decimal

PIECE_KINDS = 500
PIECES = 20_000
STOCK_KINDS = 100
STOCK_SHEETS = 1_000_000
SIZE_MM = 100_000
KERF_MM = 100
TRIM_MM = 1_000
ID_LETTERS = 80
COST = Decimal(1_000_000_000)
COST_PLACES = 6
LEAST_SECONDS = 0.05
MOST_SECONDS = 120.0
FAULTS_NAMED = 20
