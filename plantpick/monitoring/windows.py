"""When in a growing season to do what: parts of it, 0 at the last frost and 1 at the first, and days beside the frosts.

They are common practice without a source, or judgement. No large cut in hot weather is SRAC-361.
"""

from __future__ import annotations

CAGE_SEASONS = 2
ROOTING_DAYS = 56  # a plant set later than this before frost seldom roots
ORDER_DAYS = (84, 28)  # before the last frost
WARM_WATER_DAYS = 28  # after it, for submersed and floating-leaved plants
MEASURE = ((0.28, 0.45), (0.70, 0.88))
READ = ((0.45, 0.58), (0.65, 0.80))
TRIM = ((0.05, 0.40), (0.73, 0.88))
HOT = (0.42, 0.70)
DEADHEAD = (0.50, 0.85)
VOLUNTEERS = (0.12, 0.30)
